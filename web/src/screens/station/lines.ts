/** One phone, one station or two: their boards as one. */

import { computed, type ReadonlySignal } from '@preact/signals';
import type { ActionView, StationBoard } from '../../wire/messages';
import { connect, type Joined } from '../../wire/socket';
import { list } from '../../words/say';

/** The stations of an address: `/station/fry`, `/station/fry+garnish`. */
export function stationsOf(path: string): string[] {
  return [...new Set(path.split('+').filter(Boolean))];
}

/** Several boards as one: everything on them, and the oldest number, since a tap may belong to either. */
export function together(boards: readonly StationBoard[]): StationBoard | null {
  const [first] = boards;
  if (first === undefined || boards.length === 1) return first ?? null;
  return {
    ...first,
    seq: Math.min(...boards.map((one) => one.seq)),
    station: boards.map((one) => one.station).join('+'),
    station_name: list(boards.map((one) => one.station_name)),
    actions: boards.flatMap((one) => one.actions),
    notes: boards.flatMap((one) => one.notes),
    trouble: [...new Set(boards.flatMap((one) => one.trouble))],
  };
}

export interface Lines {
  readonly board: ReadonlySignal<StationBoard | null>;
  readonly link: Joined<StationBoard>['link'];
  /** The station that an action is for, by name. */
  nameOf(action: ActionView): string;
  close(): void;
}

/** Joins every station of the address; nothing is shown until each has its board. */
export function joinStations(stations: readonly string[]): Lines {
  const lines = stations.map((station) => connect('station', station));
  const known = () => lines.map((line) => line.board.value).filter((board) => board !== null);
  const board = computed(() => (known().length === lines.length ? together(known()) : null));
  const [first] = lines;
  if (first === undefined) throw new Error('a station page without a station');
  return {
    board,
    link: first.link,
    nameOf: (action) =>
      lines.map((line) => line.board.peek()).find((one) => one?.actions.some((each) => each.id === action.id))
        ?.station_name ??
      board.peek()?.station_name ??
      stations.join(' '),
    close: () => {
      for (const line of lines) line.close();
    },
  };
}
