/** The order page. */
export const order = {
  'order.title': 'Order · Kitchen Timer',
} as const;
