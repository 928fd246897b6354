/** The pass screen and the score. */
export const pass = {
  'pass.title': 'Pass',
} as const;
