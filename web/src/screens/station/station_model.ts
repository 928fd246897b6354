/**
 * What a station's phone shows, worked out of the last board it has and the taps that it still keeps. Pure: time comes
 * in as kitchen milliseconds, so that it is the same in touch, out of touch and under a turned clock.
 */
import type { ActionView, NoteView, StationBoard } from '../../wire/messages';

/** A tap that the board does not show yet. */
export interface Tap {
  readonly action: ActionView;
  readonly act: 'started' | 'done' | 'more' | 'again';
  /** Kitchen ms. */
  readonly at_ms: number;
}

/**
 * Actions as the cook shall see them, by due time: those tapped already left out, ends of what has not begun left out
 * too, unless a tap that the server has not heard of began it.
 */
export function actionsNow(board: StationBoard, taps: readonly Tap[]): ActionView[] {
  const tapped = new Set(
    taps.filter((tap) => tap.act !== 'more').flatMap((tap) => tap.action.steps.map((step) => keyOf(tap, step))),
  );
  return board.actions
    .map((action) => without(action, (step) => tapped.has(`${action.kind} ${step}`)))
    .filter((action) => action.steps.length > 0)
    .map((action) => shifted(begun(action, taps), taps))
    .filter((action) => action.kind === 'start' || action.running)
    .sort((a, b) => Date.parse(a.due_at) - Date.parse(b.due_at) || a.id.localeCompare(b.id));
}

function keyOf(tap: Tap, step: string): string {
  return `${tap.action.kind} ${step}`;
}

/** A joined cue of which some steps were tapped keeps the others. */
function without(action: ActionView, gone: (step: string) => boolean): ActionView {
  const steps = action.steps.filter((step) => !gone(step));
  return steps.length === action.steps.length ? action : { ...action, steps };
}

/** The end of a step whose start was tapped here: it runs, and ends as much earlier or later as it was begun. */
function begun(action: ActionView, taps: readonly Tap[]): ActionView {
  if (action.kind !== 'finish' || action.running) return action;
  const start = taps.find(
    (tap) => tap.act === 'started' && tap.action.steps.some((step) => action.steps.includes(step)),
  );
  return start === undefined
    ? action
    : { ...moved(action, start.at_ms - Date.parse(start.action.due_at)), running: true };
}

/** Thirty seconds more, and the step before begun late, push what follows of the same loads. */
function shifted(action: ActionView, taps: readonly Tap[]): ActionView {
  const loads = new Set(action.steps.map(loadOf));
  let by_ms = 0;
  for (const { act, at_ms, action: of } of taps) {
    if (!of.steps.some((step) => loads.has(loadOf(step)))) continue;
    if (act === 'more') by_ms += 30_000;
    const own = of.steps.some((step) => action.steps.includes(step));
    if (act === 'started' && !own) by_ms += Math.max(0, at_ms - Date.parse(of.due_at));
  }
  return by_ms === 0 ? action : moved(action, by_ms);
}

function moved(action: ActionView, by_ms: number): ActionView {
  const later = (instant: string) => new Date(Date.parse(instant) + by_ms).toISOString();
  return { ...action, due_at: later(action.due_at), heads_up_at: later(action.heads_up_at) };
}

/** The notes of the score as this device knows them: what was tapped is solid at once, not when the server says so. */
export function notesNow(board: StationBoard, taps: readonly Tap[]): readonly NoteView[] {
  const acts = new Map(taps.flatMap((tap) => tap.action.steps.map((step) => [step, tap] as const)));
  if (acts.size === 0) return board.notes;
  return board.notes.map((note) => {
    const tap = acts.get(note.id);
    if (tap?.act === 'done') return { ...note, state: 'done' };
    if (tap?.act !== 'started') return note;
    const ends_ms = tap.at_ms + Date.parse(note.end_at) - Date.parse(note.start_at);
    const start_at = new Date(tap.at_ms).toISOString();
    return { ...note, state: 'started', start_at, end_at: new Date(ends_ms).toISOString(), late: false };
  });
}

/** `6/mains/hake/fish/1` of the step `6/mains/hake/fish/1/0`. */
export function loadOf(step: string): string {
  return step.slice(0, step.lastIndexOf('/'));
}

/** The action in the big place: the one that was tapped up while it is there, otherwise the next by due time. */
export function bigOne(actions: readonly ActionView[], raised: string | null): ActionView | null {
  return actions.find((action) => action.id === raised) ?? actions[0] ?? null;
}

/**
 * Steps that run under an action: of an end, its own; of a start such as "Turn", the ones before it in the same loads.
 * Thirty seconds more and cooking again are about these.
 */
export function runningSteps(action: ActionView, notes: readonly NoteView[], taps: readonly Tap[] = []): string[] {
  if (action.kind === 'finish') return action.running ? [...action.steps] : [];
  const loads = new Set(action.steps.map(loadOf));
  const started = new Set(taps.filter((tap) => tap.act === 'started').flatMap((tap) => tap.action.steps));
  return notes
    .filter((note) => loads.has(note.load_id) && (note.state === 'started' || started.has(note.id)))
    .map((note) => note.id);
}

/** A load that can be cooked again: how many portions of what for which table. */
export interface AgainChoice {
  readonly load: string;
  readonly portions: number;
  readonly component: string;
  readonly table: string;
}

/** The loads of an action that run, each to be chosen by itself. */
export function againChoices(action: ActionView, notes: readonly NoteView[]): AgainChoice[] {
  const loads = [...new Set(action.steps.map(loadOf))];
  return loads.map((load) => {
    const note = notes.find((one) => one.load_id === load);
    const table = note?.table ?? load.slice(0, load.indexOf('/'));
    const portions = note?.portions ?? action.per_table.find(([at]) => at === table)?.[1] ?? action.portions;
    return { load, portions, component: action.component_name, table };
  });
}

/** Seconds to an action, negative once it is overdue; whole seconds, so that the due second itself reads 0:00. */
export function leftS(action: ActionView, now_s: number): number {
  return Math.floor(Date.parse(action.due_at) / 1000) - now_s;
}

/** Verb and component in at most six words; the verb is never cut. */
export function cueWords(action: ActionView): { verb: string; component: string } {
  const verb = action.do.split(/\s+/);
  const component = action.component_name.split(/\s+/);
  return { verb: verb.join(' '), component: component.slice(0, Math.max(1, 6 - verb.length)).join(' ') };
}

/**
 * Taps that a board has taken in: acknowledged with a number that the board has reached. Without the acknowledgement a
 * tap stays, whatever else changes.
 */
export function stillOpen<T extends { readonly seq: number | null }>(
  taps: readonly T[],
  board: StationBoard | null,
): T[] {
  return taps.filter((tap) => tap.seq === null || board === null || board.seq < tap.seq);
}
