/** From notes to lanes: what stands beside what. Pure; seconds since 1970 throughout. */

import { seconds } from '../../clock/say_time';
import type { NoteView } from '../../wire/messages';

export interface Bar {
  note: NoteView;
  from_s: number;
  to_s: number;
  /** Portions of all notes that were joined into this one. */
  portions: number;
}

/** A load: its notes one after another, the tail it stands for and the track it may stand on. */
export interface Lane {
  id: string;
  bars: Bar[];
  tail: { from_s: number; to_s: number } | null;
  track: { from_s: number; to_s: number } | null;
  /** By station: the tables that it is for; null where the row says the table already. */
  tables: string | null;
  /** Which line of the picture it lies on, from 0, and what lies before and behind it there, s. */
  row: number;
  after_s: number;
  before_s: number;
}

/** A running step that is late goes on until somebody says otherwise: its bar reaches to now. */
function bar(note: NoteView, now_s: number): Bar {
  const from_s = seconds(note.start_at);
  const end_s = seconds(note.end_at);
  const goesOn = note.state === 'started' && note.late && end_s < now_s;
  return { note, from_s, to_s: Math.max(from_s, goesOn ? now_s : end_s), portions: note.portions };
}

/** One lane a load, in the order in which they begin. */
export function lanesOf(notes: readonly NoteView[], now_s: number): Lane[] {
  const loads = new Map<string, Bar[]>();
  for (const note of notes) {
    const bars = loads.get(note.load_id) ?? [];
    bars.push(bar(note, now_s));
    loads.set(note.load_id, bars);
  }
  const lanes = [...loads].map(([id, bars]): Lane => {
    bars.sort((a, b) => a.from_s - b.from_s || a.to_s - b.to_s);
    const last = bars.find((b) => b.note.last);
    const until = (at: string | null | undefined) =>
      last && at && seconds(at) > last.to_s ? { from_s: last.to_s, to_s: seconds(at) } : null;
    const [tail, track] = [until(last?.note.stands_until), until(last?.note.keeps_until)];
    return { id, bars, tail, track, tables: null, row: 0, after_s: -Infinity, before_s: Infinity };
  });
  lanes.sort((a, b) => begin(a) - begin(b) || (a.id < b.id ? -1 : 1));
  for (const [row, lane] of lanes.entries()) lane.row = row;
  return lanes;
}

/** Seconds between two loads that lie on one line, so that their notes are told apart. */
const APART_S = 6;

/** The loads of a station on as few lines as they need; what goes in together for several tables is one load. */
export function stationLanes(notes: readonly NoteView[], now_s: number): Lane[] {
  const known = new Map<string, Lane>();
  for (const lane of lanesOf(notes, now_s)) {
    const first = lane.bars[0]?.note;
    if (first === undefined) continue;
    const same = lane.bars.map(({ note, from_s, to_s }) => `${note.do} ${from_s} ${to_s} ${note.state}`).join('|');
    const joined = lane.bars.some(({ note }) => note.joined.length > 0);
    const key = joined ? `${first.dish} ${first.component} ${same}` : lane.id;
    const other = known.get(key);
    if (other === undefined) known.set(key, { ...lane, tables: first.table });
    else {
      other.tables = `${other.tables}, ${first.table}`;
      for (const each of other.bars) each.portions += lane.bars[0]?.portions ?? 0;
    }
  }
  const rows: Lane[] = [];
  for (const lane of known.values()) {
    const end = (other: Lane) => Math.max(...other.bars.map((one) => one.to_s));
    const at = rows.findIndex((last) => end(last) + APART_S <= begin(lane));
    lane.row = at < 0 ? rows.length : at;
    const last = rows[lane.row];
    if (last !== undefined) {
      lane.after_s = end(last);
      last.before_s = begin(lane);
    }
    rows[lane.row] = lane;
  }
  return [...known.values()];
}

const begin = (lane: Lane): number => lane.bars[0]?.from_s ?? 0;

/** Notes that go in together (one component, one step, one start) are one bar. */
export function joinedBars(notes: readonly NoteView[], now_s: number): Bar[] {
  const joined = new Map<string, Bar>();
  for (const note of notes) {
    const one = bar(note, now_s);
    const key = [note.dish, note.component, note.do, one.from_s, one.to_s, note.state].join('|');
    const known = note.joined.length > 0 ? joined.get(key) : undefined;
    if (known) known.portions += note.portions;
    else joined.set(note.joined.length > 0 ? key : note.id, one);
  }
  return [...joined.values()].sort(
    (a, b) => a.from_s - b.from_s || b.to_s - a.to_s || (a.note.id < b.note.id ? -1 : 1),
  );
}

/** Bars side by side in as few columns as they need; a load stays in its column where it can. */
export function columnsOf(bars: readonly Bar[]): { bar: Bar; column: number }[] {
  const free: number[] = [];
  const home = new Map<string, number>();
  return bars.map((one) => {
    const own = home.get(one.note.load_id);
    let column = own !== undefined && (free[own] ?? 0) <= one.from_s ? own : -1;
    if (column < 0) column = free.findIndex((until) => until <= one.from_s);
    if (column < 0) column = free.length;
    free[column] = one.to_s;
    home.set(one.note.load_id, column);
    return { bar: one, column };
  });
}

/** How many lines of the picture a station's notes take. */
export function lineCount(notes: readonly NoteView[]): number {
  return stationLanes(notes, 0).reduce((most, lane) => Math.max(most, lane.row + 1), 0);
}
