/**
 * Which heads-ups and cues fall due, decided from what the station was told and the device's own kitchen clock.
 *
 * Pure: it is handed the time, so a phone out of touch cues like one in touch, and a test can turn the clock.
 * A cue sounds once for a due time and is never repeated; one that nobody heeds goes to the pass by the server's word.
 */

/** What the watch needs of an action: instants in milliseconds of kitchen time. */
export interface Watched {
  readonly id: string;
  readonly steps: readonly string[];
  readonly due_ms: number;
  readonly heads_up_ms: number;
}

export interface Sounding<A extends Watched> {
  readonly heads_up: readonly A[];
  readonly cue: readonly A[];
}

/** Due times that part by less are the same cue, moved a little. */
export const SAME_CUE_MS = 20_000;

/** A cue missed for longer (the page was shut, the phone slept) is shown, not sounded. */
export const TOO_OLD_MS = 30_000;

/** What has sounded: for each step the due time (ms) that it sounded for. Plain, so that it survives a reload. */
export interface Heard {
  readonly heads_up: Readonly<Record<string, number>>;
  readonly cue: Readonly<Record<string, number>>;
}

export const NOTHING_HEARD: Heard = { heads_up: {}, cue: {} };

/** What sounds at `now_ms`, and what has then been heard. Steps no longer on the board are forgotten. */
export function whatSounds<A extends Watched>(
  actions: readonly A[],
  heard: Heard,
  now_ms: number,
): { sounding: Sounding<A>; heard: Heard } {
  const heads_up: A[] = [];
  const cue: A[] = [];
  const next = { heads_up: keep(heard.heads_up, actions), cue: keep(heard.cue, actions) };
  for (const action of actions) {
    const { due_ms, heads_up_ms } = action;
    if (now_ms >= due_ms) {
      if (isNew(next.cue, action) && now_ms - due_ms < TOO_OLD_MS) cue.push(action);
      mark(next.cue, action);
      mark(next.heads_up, action);
    } else if (now_ms >= heads_up_ms) {
      if (isNew(next.heads_up, action)) heads_up.push(action);
      mark(next.heads_up, action);
    }
  }
  return { sounding: { heads_up, cue }, heard: next };
}

/** When the next heads-up or cue falls due after `now_ms`; null when none will. */
export function nextSoundAt(actions: readonly Watched[], now_ms: number): number | null {
  const coming = actions.flatMap((action) => [action.heads_up_ms, action.due_ms]).filter((at) => at > now_ms);
  return coming.length === 0 ? null : Math.min(...coming);
}

function key(action: Watched, step: string): string {
  return `${action.id.split(':')[0]} ${step}`;
}

function isNew(heard: Record<string, number>, action: Watched): boolean {
  return action.steps.some((step) => {
    const before = heard[key(action, step)];
    return before === undefined || action.due_ms - before >= SAME_CUE_MS;
  });
}

function mark(heard: Record<string, number>, action: Watched): void {
  for (const step of action.steps) {
    const before = heard[key(action, step)];
    // An overdue finish may be moved on second by second: it stays the cue that has sounded.
    if (before === undefined || action.due_ms - before >= SAME_CUE_MS) heard[key(action, step)] = action.due_ms;
  }
}

function keep(heard: Readonly<Record<string, number>>, actions: readonly Watched[]): Record<string, number> {
  const alive = new Set(actions.flatMap((action) => action.steps.map((step) => key(action, step))));
  return Object.fromEntries(Object.entries(heard).filter(([step]) => alive.has(step)));
}
