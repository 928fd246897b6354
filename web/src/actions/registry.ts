import type { Command, CourseAsked, Instant, PlateAsked } from '../wire/messages';
import { type Key, say } from '../words/say';

/**
 * Everything that can be done from a page, in one place: its name, the words on it, its key, and the command that it
 * sends. A page draws a button from it and never builds a command of its own.
 */
export interface Act<Asked extends readonly unknown[]> {
  readonly name: string;
  readonly words: Key;
  /** `KeyboardEvent.key` values that do the same where the page says so; none for what must not be hit by accident. */
  readonly keys: readonly string[];
  readonly command: (...asked: Asked) => Command;
}

function act<Asked extends readonly unknown[]>(
  name: string,
  words: Key,
  keys: readonly string[],
  command: (...asked: Asked) => Command,
): Act<Asked> {
  return { name, words, keys, command };
}

const BIG = [' ', 'Enter'] as const;

/** Seconds that one tap of "30 s more" adds. */
export const MORE_S = 30;

/** Seconds by which one touch sets the chef's own time for a cue sooner or later. */
export const CUE_S = 60;

/** Seconds by which one touch pushes a course or brings it forward. */
export const MOVE_S = 300;

export const acts = {
  started: act('started', 'act.started', BIG, (steps: readonly string[], at: Instant) => ({
    kind: 'start_steps',
    steps: [...steps],
    at,
  })),
  done: act('done', 'act.done', BIG, (steps: readonly string[], at: Instant) => ({
    kind: 'finish_steps',
    steps: [...steps],
    at,
  })),
  more: act('more', 'act.more', ['+', 'm'], (steps: readonly string[]) => ({
    kind: 'give_more_time',
    steps: [...steps],
    seconds: MORE_S,
  })),
  again: act('again', 'act.again', ['a'], (load: string) => ({ kind: 'cook_again', load })),
  undo: act('undo', 'act.undo', ['Backspace', 'u'], (seq: number) => ({ kind: 'undo', seq })),
  take: act('take', 'act.take', ['Enter'], (table: string, courses: readonly CourseAsked[], asked: boolean) => ({
    kind: 'take_order',
    table,
    courses: [...courses],
    allergies_asked: asked,
  })),
  fire: act('fire', 'act.fire', [], (course_id: string) => ({ kind: 'fire_course', course_id })),
  hold: act('hold', 'act.hold', [], (course_id: string) => ({ kind: 'hold_course', course_id })),
  sent: act('sent', 'act.sent', [], (course_id: string) => ({ kind: 'send_course', course_id })),
  later: act('later', 'act.later', [], (course_id: string) => ({ kind: 'move_course', course_id, by_s: MOVE_S })),
  sooner: act('sooner', 'act.sooner', [], (course_id: string) => ({ kind: 'move_course', course_id, by_s: -MOVE_S })),
  fly: act('fly', 'act.fly', [], (course_id: string) => ({ kind: 'on_the_fly', course_id })),
  away: act('away', 'act.away', [], (table: string) => ({ kind: 'guest_away', table })),
  back: act('back', 'act.back', [], (table: string) => ({ kind: 'guest_back', table })),
  read: act('read', 'act.read', [], (step: string, celsius: number) => ({ kind: 'read_core_temp', step, celsius })),
  add: act('add', 'act.add', [], (course_id: string, plate: PlateAsked, allergies_asked: boolean) => ({
    kind: 'add_plates',
    course_id,
    plates: [plate],
    allergies_asked,
  })),
  change: act('change', 'act.change', [], (course_id: string, was: PlateAsked, to: PlateAsked) => ({
    kind: 'change_plate',
    course_id,
    was,
    to,
  })),
  oneOff: act('oneOff', 'act.one_off', [], (course_id: string, plate: PlateAsked) => ({
    kind: 'take_off',
    course_id,
    plates: [{ ...plate, qty: 1 }],
  })),
  courseOff: act('courseOff', 'act.course_off', [], (course_id: string) => ({ kind: 'take_off_course', course_id })),
  tell: act('tell', 'act.tell', [], (table: string, allergies: readonly string[], seat: string, dish: string) => ({
    kind: 'tell_allergy',
    table,
    allergies: [...allergies],
    seat,
    dish: dish === '' ? null : dish,
  })),
  seat: act('seat', 'act.seat', [], (table: string, to: string) => ({ kind: 'move_table', table, to })),
  merge: act('merge', 'act.merge', [], (table: string, to: string) => ({ kind: 'move_table', table, to, merge: true })),
  cue: act('cue', 'act.cue', [], (step: string, at: Instant) => ({ kind: 'set_cue', step, at })),
  free: act('free', 'act.free', [], (step: string) => ({ kind: 'free_cue', step })),
  give: act('give', 'act.give', [], (load: string, course_id: string) => ({ kind: 'give_load', load, course_id })),
  dishOff: act('dishOff', 'act.none_left', [], (dish: string) => ({ kind: 'eighty_six', dish })),
  partOff: act('partOff', 'act.none_left', [], (component: string) => ({ kind: 'eighty_six', component })),
  dishOn: act('dishOn', 'act.back_on', [], (dish: string) => ({ kind: 'back_on', dish })),
  partOn: act('partOn', 'act.back_on', [], (component: string) => ({ kind: 'back_on', component })),
  cooks: act('cooks', 'act.cooks', [], (station: string, cooks: number) => ({ kind: 'set_cooks', station, cooks })),
  slots: act('slots', 'act.slots', [], (equipment: string, slots: number) => ({ kind: 'set_slots', equipment, slots })),
  answer: act('answer', 'act.again', [], (loads: readonly string[], again: boolean) => ({
    kind: 'answer_again',
    loads: [...loads],
    again,
  })),
} as const;

/** The words on an act's button. */
export function label(one: { readonly words: Key }): string {
  return (say as (key: Key) => string)(one.words);
}

/** Whether this key press is the act's; presses with a modifier belong to the browser. */
export function isKeyOf(one: { readonly keys: readonly string[] }, event: KeyboardEvent): boolean {
  return !event.ctrlKey && !event.metaKey && !event.altKey && one.keys.includes(event.key);
}
