import type { BookDish } from '../../src/wire/messages';

function dish(id: string, name: string, course: string, allergens: string[], components: string[]): BookDish {
  return {
    dish: id,
    name,
    course,
    allergens,
    components: components.map((one) => ({ name: one, station: 'fish', allergens: [], keeps_s: 120 })),
    off: '',
  };
}

/** Some dishes of Skerrymoot, a place that exists only here. */
export const book: BookDish[] = [
  dish('lemon-cream', 'Lemon set cream, burnt sugar, shortbread', 'desserts', ['milk', 'egg', 'gluten'], ['Cream']),
  dish('souffle', 'Dark chocolate soufflé, salted milk ice', 'desserts', ['egg', 'milk', 'soya'], ['Soufflé']),
  dish(
    'brill',
    'Brill, mussels, fennel, cider sauce',
    'mains',
    ['fish', 'molluscs', 'milk', 'sulphites'],
    ['Brill', 'Mussels'],
  ),
  dish('duck', 'Duck breast, celeriac layers, cherry', 'mains', ['celery', 'milk', 'sulphites'], ['Duck', 'Celeriac']),
  dish(
    'risotto',
    'Saffron risotto, courgette-flower fritter',
    'mains',
    ['milk', 'gluten', 'egg'],
    ['Risotto', 'Fritter'],
  ),
  dish('lamb', 'Lamb rump, aubergine, anchovy dressing', 'mains', ['fish', 'milk', 'sulphites'], ['Lamb', 'Aubergine']),
  dish('mackerel', 'Torched mackerel, cucumber, rye', 'starters', ['fish', 'gluten', 'milk'], ['Mackerel']),
  dish(
    'beetroot',
    'Salt-baked beetroot, goat curd, hazelnut, bitter leaves',
    'starters',
    ['milk', 'tree nuts'],
    ['Beetroot'],
  ),
];

export function of(id: string): BookDish {
  const found = book.find((one) => one.dish === id);
  if (!found) throw new Error(`no ${id} in the test's book`);
  return found;
}
