import type { BookDish, Fault, Problem } from '../../wire/messages';
import { courseNames, type Draft } from './order_model';

/** Where a refusal belongs on the page. */
export interface Placed {
  readonly table: readonly string[];
  readonly lines: ReadonlyMap<number, readonly string[]>;
  readonly courses: ReadonlyMap<string, readonly string[]>;
  /** What belongs to no field. */
  readonly elsewhere: readonly string[];
}

const NONE: Placed = { table: [], lines: new Map(), courses: new Map(), elsewhere: [] };

/** Puts each fault of a refusal at the field it is about: the table, a course, or a line. */
export function place(problem: Problem | null, draft: Draft, book: readonly BookDish[]): Placed {
  if (problem === null) return NONE;
  const table: string[] = [];
  const lines = new Map<number, string[]>();
  const courses = new Map<string, string[]>();
  const elsewhere: string[] = problem.faults.length === 0 ? [problem.detail || problem.title] : [];
  for (const fault of problem.faults) {
    const [course, line] = fieldOf(fault.where, draft, book);
    if (line !== null) push(lines, line, words(fault));
    else if (course !== null) push(courses, course, words(fault));
    else if (/(^|\W)table$/.test(fault.where)) table.push(words(fault));
    else elsewhere.push(words(fault));
  }
  return { table, lines, courses, elsewhere };
}

function fieldOf(where: string, draft: Draft, book: readonly BookDish[]): [string | null, number | null] {
  const found = /courses\W+(\d+)(?:.*?plates\W+(\d+))?/.exec(where);
  if (found === null) return [null, null];
  const course = courseNames(draft, book)[Number(found[1])] ?? null;
  if (course === null || found[2] === undefined) return [course, null];
  const line = draft.lines.filter((one) => one.course === course)[Number(found[2])];
  return [course, line?.id ?? null];
}

function words({ what, cure }: Fault): string {
  return cure === '' ? what : `${what}; ${cure}`;
}

function push<K>(map: Map<K, string[]>, key: K, words: string): void {
  map.set(key, [...(map.get(key) ?? []), words]);
}
