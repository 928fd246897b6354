import type { NoteView, Quote } from '../../wire/messages';

/** One row of the firing sequence: steps that start at the same second at one station. */
export interface FiringRow {
  readonly at: string;
  /** Seconds to its own course's landing; negative before it. */
  readonly to_landing_s: number;
  readonly station: string;
  readonly do: string;
  readonly component: string;
  readonly portions: number;
  readonly course: string;
  readonly on: string | null;
}

export interface FiringGroup {
  /** A station's id, or a course's name. */
  readonly name: string;
  readonly rows: readonly FiringRow[];
}

/** The quoted courses' steps: a course after the other, or a station after the other; within that by time. Loads of one component at once are one row. */
export function firingList(quote: Quote, by: 'time' | 'station', stations: readonly string[]): FiringGroup[] {
  const rows = quote.courses.flatMap((course) =>
    joined(course.notes).map((note) => row(note, course.course, course.landing_at)),
  );
  rows.sort((a, b) => Date.parse(a.at) - Date.parse(b.at) || a.component.localeCompare(b.component));
  const name = (one: FiringRow) => (by === 'station' ? one.station : one.course);
  const names = by === 'station' ? [...new Set(rows.map(name))] : quote.courses.map((course) => course.course);
  const place = (one: string) => (stations.includes(one) ? stations.indexOf(one) : stations.length);
  if (by === 'station') names.sort((a, b) => place(a) - place(b));
  return names
    .map((one) => ({ name: one, rows: rows.filter((each) => name(each) === one) }))
    .filter((group) => group.rows.length > 0);
}

function joined(notes: readonly NoteView[]): NoteView[] {
  const found = new Map<string, NoteView>();
  for (const note of notes) {
    const key = [note.dish, note.component, note.do, note.start_at].join('/');
    const before = found.get(key);
    found.set(key, before ? { ...before, portions: before.portions + note.portions } : note);
  }
  return [...found.values()];
}

function row(note: NoteView, course: string, landing_at: string): FiringRow {
  return {
    at: note.start_at,
    to_landing_s: Math.round((Date.parse(note.start_at) - Date.parse(landing_at)) / 1000),
    station: note.station,
    do: note.do,
    component: note.component_name,
    portions: note.portions,
    course,
    on: note.on,
  };
}
