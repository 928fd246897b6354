import { FOURTEEN } from '../../board/allergens';
import type { BookDish } from '../../wire/messages';

/** What a called line says: `2 duck !milk @3 ,no jus`. */
export interface Called {
  readonly qty: number;
  /** What is left to find the dish by. */
  readonly words: string;
  readonly allergies: readonly string[];
  readonly seat: string;
  readonly note: string;
}

/**
 * Reads a line as it is typed while an order is called: a count first or last, `!` before an allergy, `@` before a
 * seat, and a comma before a note, which takes the rest of the line.
 */
export function readCalled(text: string): Called {
  const [before = '', ...rest] = text.split(',');
  const found: string[] = [];
  const allergies: string[] = [];
  let seat = '';
  let qty: number | null = null;
  for (const word of before.trim().split(/\s+/)) {
    const count = /^(\d{1,3})(?:x|×)?$/.exec(word);
    const stuck = /^(\d{1,3})(\p{L}.*)$/u.exec(word);
    if (word.startsWith('!') && word.length > 1) allergies.push(allergyNamed(word.slice(1)));
    else if (word.startsWith('@')) seat = word.slice(1);
    else if (count && qty === null) qty = Number(count[1]);
    else if (stuck && qty === null) {
      qty = Number(stuck[1]);
      found.push(stuck[2] ?? '');
    } else if (word !== '') found.push(word);
  }
  return {
    qty: qty === null || qty === 0 ? 1 : qty,
    words: found.join(' '),
    allergies,
    seat,
    note: rest.join(',').trim(),
  };
}

/** One of the fourteen where the beginning fits only one; otherwise the words as typed: nobody guesses an allergy. */
function allergyNamed(text: string): string {
  const fitting = FOURTEEN.filter((one) => one.startsWith(text.toLowerCase()));
  return fitting.length === 1 && fitting[0] !== undefined ? fitting[0] : text;
}

/** Dishes that the words find, best first: name begins so, a word begins so, then a component's word; all without words. */
export function find(words: string, book: readonly BookDish[]): BookDish[] {
  const wanted = fold(words).split(/\s+/).filter(Boolean);
  if (wanted.length === 0) return [...book];
  const scored = book.map((dish) => ({ dish, score: score(wanted, dish) })).filter(({ score: points }) => points > 0);
  return scored.sort((a, b) => b.score - a.score).map(({ dish }) => dish);
}

function score(wanted: readonly string[], dish: BookDish): number {
  const name = fold(dish.name);
  const nameWords = name.split(/[^\p{L}\d]+/u);
  const otherWords = dish.components.flatMap((component) => fold(component.name).split(/[^\p{L}\d]+/u));
  let sum = 0;
  for (const [place, word] of wanted.entries()) {
    const at = nameWords.findIndex((own) => own.startsWith(word));
    if (place === 0 && name.startsWith(word)) sum += 100;
    else if (at >= 0) sum += 50 - Math.min(at, 20);
    else if (otherWords.some((own) => own.startsWith(word))) sum += 10;
    else return 0;
  }
  return sum;
}

/** Small letters without accents, so that "souffle" finds the soufflé. */
function fold(text: string): string {
  return text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase().trim();
}
