import { signal } from '@preact/signals';
import { describe, expect, test } from 'vitest';
import { settled } from '../../src/board/settled';
import type { CourseView, PassBoard } from '../../src/wire/messages';

const course = (id: string, landing_at = '19:40') =>
  ({ id, landing_at, notes: [{ id: `${id}/0` }] }) as unknown as CourseView;

function board(seq: number, courses: CourseView[], all_day: [string, number][] = [['Brill', 2]]): PassBoard {
  return { seq, courses, all_day, held: [], off: [] } as unknown as PassBoard;
}

/** A browser whose turns are given by hand. */
function turns() {
  const queue: (() => void)[] = [];
  const all = () => {
    let n = 0;
    for (let go = queue.shift(); go !== undefined; go = queue.shift()) {
      go();
      n += 1;
    }
    return n;
  };
  return { later: (go: () => void) => void queue.push(go), one: () => queue.shift()?.(), all };
}

const ids = Array.from({ length: 30 }, (_, at) => `${at}/mains`);
const thirty = (landing?: string) => ids.map((id) => course(id, landing));

describe('a board taken over in slices', () => {
  test('the first is there at once', () => {
    const source = signal<PassBoard | null>(null);
    const { board: shown } = settled(source, turns().later);
    source.value = board(1, [course('6/mains')]);
    expect(shown.value?.seq).toBe(1);
  });

  test('what has not changed is the very object of the board before, lists too', () => {
    const source = signal<PassBoard | null>(board(1, thirty()));
    const browser = turns();
    const { board: shown } = settled(source, browser.later);
    const before = shown.value;
    source.value = board(
      2,
      ids.map((id) => course(id, id === '7/mains' ? '19:50' : '19:40')),
    );
    browser.all();
    const after = shown.value;
    expect(after?.seq).toBe(2);
    expect(after?.all_day).toBe(before?.all_day);
    expect(after?.courses.filter((one, at) => one !== before?.courses[at]).map((one) => one.id)).toEqual(['7/mains']);
  });

  test('thirty changed courses come a few at a time, and all of them come', () => {
    const source = signal<PassBoard | null>(board(1, thirty()));
    const browser = turns();
    const { board: shown } = settled(source, browser.later);
    const seen: number[] = [];
    shown.subscribe((now) => seen.push(now?.courses.filter((one) => one.landing_at === '19:50').length ?? 0));
    source.value = board(2, thirty('19:50'));
    browser.all();
    expect(seen.at(-1)).toBe(30);
    expect(Math.max(...seen.slice(1).map((n, at) => n - (seen[at] ?? 0)))).toBeLessThanOrEqual(3);
  });

  test('a course that is new is there with the first slice, one that has gone is not', () => {
    const source = signal<PassBoard | null>(board(1, thirty()));
    const browser = turns();
    const { board: shown } = settled(source, browser.later);
    source.value = board(2, [course('99/mains'), ...thirty('19:50').slice(1)]);
    while (shown.value?.seq === 1) browser.one();
    expect(shown.value?.courses[0]?.id).toBe('99/mains');
    expect(shown.value?.courses.some((one) => one.id === '0/mains')).toBe(false);
  });

  test('boards that come faster than they can be drawn never keep each other from being shown', () => {
    const source = signal<PassBoard | null>(board(1, thirty()));
    const browser = turns();
    const { board: shown } = settled(source, browser.later);
    const seqs = new Set<number>();
    shown.subscribe((now) => void seqs.add(now?.seq ?? 0));
    for (let seq = 2; seq < 200; seq++) {
      source.value = board(seq, thirty(`at ${seq}`));
      browser.one();
    }
    browser.all();
    expect(seqs.size).toBeGreaterThan(5);
    expect(shown.value?.seq).toBe(199);
    expect(shown.value?.courses.every((one) => one.landing_at === 'at 199')).toBe(true);
  });
});
