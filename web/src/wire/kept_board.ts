/**
 * The last board of a station and the kitchen's time with it, kept on the device: a phone loaded anew out of touch goes
 * on counting from them. Too old, they are let go: a plan of an hour ago is worse than none.
 */

import { type Anchor, kitchenClock, kitchenNow } from '../clock/kitchen_clock';
import type { StationBoard } from './messages';

/** Kitchen ms for which a board is good out of touch: it looks ten minutes ahead. */
export const GOOD_MS = 20 * 60_000;

interface KeptBoard {
  readonly board: StationBoard;
  readonly anchor: Anchor;
}

const placeOf = (station: string) => `kitchen-timer board ${station}`;

/** Keeps a board; nothing happens where the browser keeps nothing, or before the kitchen's time is known. */
export function keepBoard(board: StationBoard): void {
  const { anchor } = kitchenClock;
  if (anchor === null) return;
  const kept: KeptBoard = { board, anchor };
  try {
    localStorage.setItem(placeOf(board.station), JSON.stringify(kept));
  } catch {
    // full, or not allowed: this phone has to be in touch when its page is loaded
  }
}

/** The kept board of a station, with the kitchen's clock set on from it; null where there is none that is still good. */
export function keptBoard(station: string): StationBoard | null {
  try {
    const kept = JSON.parse(localStorage.getItem(placeOf(station)) ?? 'null') as KeptBoard | null;
    if (kept === null) return null;
    if (kitchenClock.anchor === null) kitchenClock.recall(kept.anchor);
    const age_ms = kitchenNow() - kept.anchor.kitchen;
    return age_ms >= 0 && age_ms < GOOD_MS ? kept.board : null;
  } catch {
    return null;
  }
}
