import type { ActionView, NoteView, StationBoard } from '../../src/wire/messages';

/** An instant so many seconds after 19:30 of an evening that exists only here. */
export function at(s: number): string {
  return new Date(Date.UTC(2026, 10, 27, 19, 30) + s * 1000).toISOString();
}

export function ms(s: number): number {
  return Date.parse(at(s));
}

export function note(id: string, from_s: number, to_s: number, more: Partial<NoteView> = {}): NoteView {
  const parts = id.split('/');
  return {
    id,
    load_id: parts.slice(0, -1).join('/'),
    course_id: parts.slice(0, 2).join('/'),
    table: parts[0] ?? '',
    dish: parts[2] ?? '',
    dish_name: 'Saffron risotto, courgette-flower fritter',
    component: parts[3] ?? '',
    component_name: 'Fritter',
    do: 'Fry',
    station: 'fry',
    on: 'fryer',
    portions: 2,
    start_at: at(from_s),
    end_at: at(to_s),
    state: 'planned',
    late: false,
    hands: 'ends',
    last: true,
    keeps_until: null,
    stands_until: null,
    joined: [],
    spare: 0,
    pinned: false,
    ...more,
  };
}

export function action(
  kind: 'start' | 'finish',
  due_s: number,
  steps: string[],
  more: Partial<ActionView> = {},
): ActionView {
  const tables = [...new Set(steps.map((step) => step.split('/')[0] ?? ''))];
  return {
    id: `${kind}:${steps.join('+')}`,
    kind,
    due_at: at(due_s),
    heads_up_at: at(due_s - 15),
    do: kind === 'start' ? 'Drop' : 'Lift',
    component_name: 'Fritter',
    dish_names: ['Saffron risotto, courgette-flower fritter'],
    portions: 2 * tables.length,
    tables,
    per_table: tables.map((table) => [table, 2]),
    courses: tables.map((table) => `${table}/mains`),
    steps,
    on: 'fryer',
    takes_s: 150,
    allergies: [],
    notes: [],
    core_temp: null,
    running: kind === 'finish',
    caution: '',
    moved: '',
    by_itself: false,
    pinned: false,
    ...more,
  };
}

export function board(actions: ActionView[], notes: NoteView[], seq = 10): StationBoard {
  return { seq, now: at(0), station: 'fry', station_name: 'Fry', actions, notes, trouble: [], taps: 'both' };
}
