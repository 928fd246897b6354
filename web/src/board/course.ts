/** Facts about a course that several places of a screen need. Pure. */

import { seconds } from '../clock/say_time';
import type { AllergyView, CourseView, DishView, NoteView } from '../wire/messages';

/** A dish by its first words: what it is built on, without what comes with it. */
export function shortName(name: string): string {
  return name.split(',')[0] ?? name;
}

/** `2 Lamb rump (no jus)`. */
export function dishLine(dish: DishView): string {
  return `${dish.qty} ${shortName(dish.name)}${dish.note ? ` (${dish.note})` : ''}`;
}

/** Words of an allergy where its table stands beside it already; its parts ("seat 2") never break over a line. */
export function atTable(allergy: AllergyView): string {
  return allergy.words
    .split(' · ')
    .filter((part) => part !== `table ${allergy.table}`)
    .map((part) => part.replaceAll(' ', '\u00a0'))
    .join(' · ');
}

export interface LoadLine {
  load_id: string;
  component: string;
  station: string;
  portions: number;
  begin_s: number;
  ready_s: number;
  begun: boolean;
}

/** The loads of a course, the one that begins first on top. */
export function loadsOf(notes: readonly NoteView[]): LoadLine[] {
  const loads = new Map<string, LoadLine>();
  for (const note of notes) {
    const begin_s = seconds(note.start_at);
    const ready_s = seconds(note.end_at);
    const begun = note.state === 'started' || note.state === 'done';
    const known = loads.get(note.load_id);
    loads.set(note.load_id, {
      load_id: note.load_id,
      component: note.component_name,
      station: note.station,
      portions: note.portions,
      begin_s: Math.min(begin_s, known?.begin_s ?? begin_s),
      ready_s: Math.max(ready_s, known?.ready_s ?? ready_s),
      begun: begun || (known?.begun ?? false),
    });
  }
  return [...loads.values()].sort((a, b) => a.begin_s - b.begin_s);
}

/** How many lanes of the score a course takes. */
export function laneCount(course: CourseView): number {
  return new Set(course.notes.map((note) => note.load_id)).size;
}
