/**
 * An order while it is being typed: tables, dishes with counts, seat notes and allergies, and how each course shall
 * land. Pure: every change gives a new draft, so that the page, the session store and the tests share one truth.
 */
import type { BookDish, CourseAsked, Land, PlateAsked } from '../../wire/messages';

/** So many plates of one dish with the same note, seat and allergies. */
export interface Line {
  readonly id: number;
  readonly dish: string;
  readonly course: string;
  readonly qty: number;
  readonly note: string;
  readonly seat: string;
  readonly allergies: readonly string[];
}

/** How a course shall land; times of day as typed (`19:40`), gaps in minutes. */
export type Landing =
  | { readonly kind: 'asap' }
  | { readonly kind: 'hold' }
  | { readonly kind: 'time'; readonly at: string }
  | { readonly kind: 'after'; readonly after: string; readonly gap_min: number };

/** Whether the dining room has been asked for allergies, and what it said. */
export type Asked = 'not_yet' | 'none' | 'some';

export interface Draft {
  readonly table: string;
  readonly lines: readonly Line[];
  /** By course name; a course without one lands by its default. */
  readonly landings: Readonly<Record<string, Landing>>;
  readonly asked: Asked;
  readonly next_id: number;
}

export const EMPTY: Draft = { table: '', lines: [], landings: {}, asked: 'not_yet', next_id: 1 };

/** Minutes between a course being up and the next one landing, unless said otherwise (common practice, no source). */
export const USUAL_GAP_MIN = 12;

/** Courses of the draft in the order of the book's courses, those the book does not know after them. */
export function courseNames(draft: Draft, book: readonly BookDish[]): string[] {
  const known = bookCourses(book);
  const used = new Set(draft.lines.map((line) => line.course));
  return [...known.filter((course) => used.has(course)), ...[...used].filter((course) => !known.includes(course))];
}

/** How people eat: the order in which courses follow one another. Others come after, as the book has them. */
const EATEN = ['snacks', 'starters', 'middles', 'mains', 'cheese', 'desserts'];

/** The courses that the book knows, in the order in which they are eaten. */
export function bookCourses(book: readonly BookDish[]): string[] {
  const named = [...new Set(book.map((dish) => dish.course))];
  const place = (course: string) => (EATEN.includes(course) ? EATEN.indexOf(course) : EATEN.length);
  return named.sort((a, b) => place(a) - place(b));
}

/** Puts plates of a dish on the draft: onto the line of the same dish that says nothing special, or as a new line. */
export function add(
  draft: Draft,
  dish: BookDish,
  extra: Partial<Pick<Line, 'qty' | 'note' | 'seat' | 'allergies'>> = {},
): Draft {
  const qty = extra.qty ?? 1;
  const plain = !extra.note && !extra.seat && !extra.allergies?.length;
  const same = plain
    ? draft.lines.find((line) => line.dish === dish.dish && line.course === dish.course && isPlain(line))
    : undefined;
  if (same) return change(draft, same.id, { qty: same.qty + qty });
  const line: Line = {
    id: draft.next_id,
    dish: dish.dish,
    course: dish.course,
    qty,
    note: extra.note ?? '',
    seat: extra.seat ?? '',
    allergies: extra.allergies ?? [],
  };
  return settle({ ...draft, lines: [...draft.lines, line], next_id: draft.next_id + 1 });
}

function isPlain(line: Line): boolean {
  return line.note === '' && line.seat === '' && line.allergies.length === 0;
}

/** Changes one line; a count of 0 takes it off. */
export function change(draft: Draft, id: number, to: Partial<Omit<Line, 'id'>>): Draft {
  const lines = draft.lines.map((line) => (line.id === id ? { ...line, ...to } : line)).filter((line) => line.qty > 0);
  return settle({ ...draft, lines });
}

/** Sets one plate of a line apart, right after it, so that a note or an allergy is its own; returns the new line's id. */
export function setApart(draft: Draft, id: number): { draft: Draft; id: number } {
  const line = draft.lines.find((one) => one.id === id);
  if (line === undefined || line.qty < 2) return { draft, id };
  const one: Line = { ...line, id: draft.next_id, qty: 1 };
  const lines = draft.lines.flatMap((other) => (other.id === id ? [{ ...other, qty: other.qty - 1 }, one] : [other]));
  return { draft: { ...draft, lines, next_id: draft.next_id + 1 }, id: one.id };
}

/** Puts an allergy on a line or takes it off. Putting one on answers the question; "none" is no longer true. */
export function turnAllergy(draft: Draft, id: number, allergy: string): Draft {
  const line = draft.lines.find((one) => one.id === id);
  const name = allergy.trim();
  if (line === undefined || name === '') return draft;
  const has = line.allergies.includes(name);
  return change(draft, id, {
    allergies: has ? line.allergies.filter((one) => one !== name) : [...line.allergies, name],
  });
}

/** "Asked: none" with an allergy on a plate would be a lie that hurts somebody. */
function settle(draft: Draft): Draft {
  return draft.lines.some((line) => line.allergies.length > 0) ? { ...draft, asked: 'some' } : draft;
}

export function answer(draft: Draft, asked: Asked): Draft {
  return settle({ ...draft, asked });
}

/**
 * How a course lands unless the draft says otherwise: the first as soon as possible, each later one after the one
 * before it; after courses of the table that are already in the kitchen, `open`, where the draft has none before it.
 */
export function landingOf(
  draft: Draft,
  course: string,
  book: readonly BookDish[],
  open: readonly string[] = [],
): Landing {
  const said = draft.landings[course];
  const before = earlier(draft, course, book, open);
  if (said !== undefined && (said.kind !== 'after' || before.includes(said.after))) return said;
  const last = before.at(-1);
  return last === undefined ? { kind: 'asap' } : { kind: 'after', after: last, gap_min: USUAL_GAP_MIN };
}

/** Courses that a course can follow: the table's open ones, then those before it on the draft. */
export function earlier(
  draft: Draft,
  course: string,
  book: readonly BookDish[],
  open: readonly string[] = [],
): string[] {
  const place = bookCourses(book);
  const rank = (name: string) => place.indexOf(name.replace(/ \d+$/, ''));
  const own = courseNames(draft, book);
  return [...open.filter((one) => rank(one) < rank(course)), ...own.slice(0, Math.max(0, own.indexOf(course)))];
}

export function setLanding(draft: Draft, course: string, to: Landing): Draft {
  return { ...draft, landings: { ...draft.landings, [course]: to } };
}

export function plateCount(draft: Draft): number {
  return draft.lines.reduce((sum, line) => sum + line.qty, 0);
}

/** What still lacks before the order can be taken, in the order in which the page asks for it. */
export type Lacking = 'table' | 'dishes' | 'allergies' | 'marks' | 'time';

export function lacking(draft: Draft): Lacking[] {
  const lacks: Lacking[] = [];
  if (draft.table.trim() === '') lacks.push('table');
  if (draft.lines.length === 0) lacks.push('dishes');
  if (draft.asked === 'not_yet') lacks.push('allergies');
  if (draft.asked === 'some' && draft.lines.every((line) => line.allergies.length === 0)) lacks.push('marks');
  if (Object.values(draft.landings).some((one) => one.kind === 'time' && !isTime(one.at))) lacks.push('time');
  return lacks;
}

export function isTime(text: string): boolean {
  return /^([01]?\d|2[0-3]):[0-5]\d$/.test(text);
}

/** What the draft needs of the evening to become an order. */
export interface Evening {
  readonly book: readonly BookDish[];
  /** Open courses of this table ("starters", "mains"). */
  readonly open: readonly string[];
  /** The instant of a time of day of this service, RFC 3339. */
  readonly instantOf: (time: string) => string;
}

/** The courses as the server is asked for them; it names a second course of mains at a table by itself. */
export function asked(draft: Draft, { book, open, instantOf }: Evening): CourseAsked[] {
  return courseNames(draft, book).map((course) => ({
    course,
    plates: draft.lines.filter((line) => line.course === course).map(plate),
    land: land(landingOf(draft, course, book, open), instantOf),
  }));
}

function plate({ dish, qty, note, seat, allergies }: Line): PlateAsked {
  return { dish, qty, note: note.trim(), seat: seat.trim(), allergies: [...allergies] };
}

function land(landing: Landing, instantOf: (time: string) => string): Land {
  switch (landing.kind) {
    case 'time':
      return isTime(landing.at) ? { kind: 'time', at: instantOf(landing.at) } : { kind: 'asap' };
    case 'after':
      return { kind: 'after', after: landing.after, gap: `${landing.gap_min}m` };
    default:
      return landing;
  }
}

/** Allergens of the book that an allergy of this line meets: said at once, before the server has been asked. */
export function clashes(line: Line, dish: BookDish | undefined): string[] {
  if (dish === undefined) return [];
  const listed = dish.allergens.map(plain);
  return line.allergies.filter((allergy) =>
    listed.some((one) => one.includes(plain(allergy)) || plain(allergy).includes(one)),
  );
}

/** Singular and small, so that "Nuts" finds "tree nuts" and "egg" finds "eggs". */
function plain(words: string): string {
  return words.toLowerCase().trim().replace(/s\b/g, '');
}
