/**
 * A board taken over in slices, so that a slow phone never misses a frame for it: what has not changed keeps being the
 * very object of the board before, and of what has changed a few courses are drawn anew at a time.
 */

import { effect, type ReadonlySignal, signal } from '@preact/signals';
import type { CourseView, PassBoard } from '../wire/messages';
import { same } from './same';

/** Courses that are compared in one slice: some 2 ms on a phone at a quarter of a desk's speed. */
const COMPARED = 6;
/** Courses that are drawn anew in one slice. */
const DRAWN = 3;

type Later = (go: () => void) => void;

export interface Settled {
  readonly board: ReadonlySignal<PassBoard | null>;
  close(): void;
}

/** Follows `source`: the first board at once, later ones a slice a task. `later` gives the browser its turn. */
export function settled(
  source: ReadonlySignal<PassBoard | null>,
  later: Later = (go) => void setTimeout(go, 0),
): Settled {
  const shown = signal<PassBoard | null>(null);
  let busy = false;
  let waiting: PassBoard | null = null;

  const begin = (next: PassBoard) => {
    const before = shown.peek();
    if (before === null) {
      shown.value = next;
      return;
    }
    busy = true;
    later(() => compare(before, next, new Map(before.courses.map((one) => [one.id, one])), []));
  };

  const compare = (before: PassBoard, next: PassBoard, known: Map<string, CourseView>, done: CourseView[]) => {
    for (const course of next.courses.slice(done.length, done.length + COMPARED)) {
      const old = known.get(course.id);
      done.push(old !== undefined && same(old, course) ? old : course);
    }
    if (done.length < next.courses.length) later(() => compare(before, next, known, done));
    else later(() => draw(keptParts(before, next), known, done, DRAWN));
  };

  /** The first `many` changed courses are new, the others still those of the board before. A new one never waits. */
  const draw = (next: PassBoard, known: Map<string, CourseView>, courses: CourseView[], many: number) => {
    let fresh = 0;
    let left = false;
    const now = courses.map((course) => {
      const old = known.get(course.id);
      if (old === undefined || old === course) return course;
      fresh += 1;
      left ||= fresh > many;
      return fresh > many ? old : course;
    });
    shown.value = { ...next, courses: now };
    if (left) later(() => draw(next, known, courses, many + DRAWN));
    else end();
  };

  const end = () => {
    busy = false;
    const next = waiting;
    waiting = null;
    if (next !== null) begin(next);
  };

  const close = effect(() => {
    const next = source.value;
    if (next === null) return;
    // Never begun anew half way: in a rush boards come faster than a slow phone can draw one.
    if (busy) waiting = next;
    else begin(next);
  });
  return { board: shown, close };
}

/** The new board, whose lists that say the same are the very objects of the one before. */
function keptParts(before: PassBoard, next: PassBoard): PassBoard {
  const { courses, ...others } = next;
  const kept = Object.entries(others).map(([key, value]) => {
    const old = before[key as keyof PassBoard];
    return [key, same(old, value) ? old : value];
  });
  return { ...(Object.fromEntries(kept) as Omit<PassBoard, 'courses'>), courses };
}
