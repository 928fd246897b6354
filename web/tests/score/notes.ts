import type { NoteView } from '../../src/wire/messages';

const T0 = Date.parse('2026-11-27T19:30:00Z') / 1000;
export const at = (s: number): string => new Date((T0 + s) * 1000).toISOString();
export const T = (s: number): number => T0 + s;

/** A note of `load` from so many to so many seconds after 19:30. */
export function note(load: string, from_s: number, to_s: number, more: Partial<NoteView> = {}): NoteView {
  return {
    id: `${load}/${from_s}`,
    load_id: load,
    course_id: '6/mains',
    table: '6',
    dish: 'brill',
    dish_name: 'Brill',
    component: load,
    component_name: load,
    do: 'Turn',
    station: 'fish',
    on: null,
    portions: 2,
    start_at: at(from_s),
    end_at: at(to_s),
    state: 'planned',
    late: false,
    hands: 'all',
    last: false,
    keeps_until: null,
    stands_until: null,
    joined: [],
    spare: 0,
    pinned: false,
    ...more,
  };
}
