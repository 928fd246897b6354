/**
 * The fourteen substances that food businesses must be able to name: Regulation (EU) No 1169/2011, Annex II, in its
 * order, under the short names that kitchens use. Other allergies are typed.
 */
export const FOURTEEN = [
  'gluten',
  'crustaceans',
  'egg',
  'fish',
  'peanuts',
  'soya',
  'milk',
  'tree nuts',
  'celery',
  'mustard',
  'sesame',
  'sulphites',
  'lupin',
  'molluscs',
] as const;
