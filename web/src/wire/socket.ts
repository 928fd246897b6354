/** The line to the server: joins a page, keeps its board fresh, says since when it is out of touch. */

import { type ReadonlySignal, signal } from '@preact/signals';
import { io, type Socket } from 'socket.io-client';
import { followServer, kitchenNow, type ProbeAnswer } from '../clock/kitchen_clock';
import type { ActionView, Command, PassBoard, Reply, StationBoard } from './messages';
import { Outbox } from './outbox';
import { openStore } from './store';

export type Page = 'pass' | 'order' | 'station';

export interface Link {
  inTouch: boolean;
  /** Kitchen time, ms since 1970, at which this began. */
  since_ms: number;
}

export interface Joined<Board> {
  board: ReadonlySignal<Board | null>;
  link: ReadonlySignal<Link>;
  /** The latest cue that the server sent ahead; stations only. */
  cue: ReadonlySignal<ActionView | null>;
  close(): void;
}

const ANSWER_MS = 5000;

const link = signal<Link>({ inTouch: false, since_ms: kitchenNow() });
let socket: Socket | undefined;
let outbox: Outbox | undefined;

function theOutbox(): Outbox {
  outbox ??= new Outbox(openStore(), (taken) => {
    if (!socket?.connected) return Promise.reject(new Error('out of touch'));
    // volatile: the outbox alone keeps what is unsent, the library must not buffer and replay it
    return socket.volatile.timeout(ANSWER_MS).emitWithAck('command', taken) as Promise<Reply>;
  });
  return outbox;
}

/** Hands a command in; resolves with the server's answer, however long this device is out of touch until then. */
export function send(command: Command): Promise<Reply> {
  return theOutbox().send(command);
}

/** Commands kept on this device that the server has not acknowledged yet. */
export function unsent(): ReadonlySignal<number> {
  return theOutbox().unsent;
}

export function connect(page: 'pass' | 'order'): Joined<PassBoard>;
export function connect(page: 'station', station: string): Joined<StationBoard>;
export function connect(page: Page, station?: string): Joined<PassBoard | StationBoard> {
  const board = signal<PassBoard | StationBoard | null>(null);
  const cue = signal<ActionView | null>(null);
  const line = io({ transports: ['websocket', 'polling'], reconnectionDelay: 300, reconnectionDelayMax: 2000 });
  socket = line;
  const outbox = theOutbox();
  const ask = (t1: number) =>
    line.connected
      ? (line.volatile.timeout(ANSWER_MS).emitWithAck('clock', { t1 }) as Promise<ProbeAnswer>)
      : Promise.reject(new Error('out of touch'));
  const syncClock = followServer(ask);

  const take = (next: PassBoard | StationBoard | undefined) => {
    if (next) board.value = next;
  };
  const say = (inTouch: boolean) => {
    if (link.value.inTouch !== inTouch) link.value = { inTouch, since_ms: kitchenNow() };
  };
  const join = async () => {
    const client_id = await outbox.clientId();
    try {
      const answer = await line
        .timeout(ANSWER_MS)
        .emitWithAck('join', station === undefined ? { page, client_id } : { page, station, client_id });
      if (answer?.ok) take(answer.board);
      say(true);
      void syncClock();
      outbox.wake();
    } catch {
      if (line.connected) setTimeout(join, 1000);
    }
  };
  line.on('connect', join);
  line.on('disconnect', () => say(false));
  line.on('board', take);
  line.on('cue', (next: ActionView) => {
    cue.value = next;
  });
  return { board, link, cue, close: () => line.close() };
}
