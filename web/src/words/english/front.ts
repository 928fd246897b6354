/** The front page. */
export const front = {
  'front.title': 'Kitchen Timer',
} as const;
