/** The line to the server: joins a page, keeps its board fresh, says since when it is out of touch. */

import { type ReadonlySignal, signal } from '@preact/signals';
import { io, type Socket } from 'socket.io-client';
import { followServer, kitchenClock, kitchenNow, type ProbeAnswer } from '../clock/kitchen_clock';
import { keepBoard, keptBoard } from './kept_board';
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
/** A socket stays open but silent when a phone loses the network: only an unanswered question shows it. */
const HEARTBEAT_MS = 4000;
const SILENT_MS = 2500;

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
export function send(command: Command, kept?: (client_seq: number) => void): Promise<Reply> {
  return theOutbox().send(command, kept);
}

/** Takes back what `send` gave this promise for; kept like any command until the server has answered. */
export function takeBack(sent: Promise<Reply>): Promise<Reply> {
  return theOutbox().takeBack(sent);
}

/** The answer to what is kept under this number, as it comes; null where nothing is kept under it any more. */
export function answerTo(client_seq: number): Promise<Reply | null> {
  return theOutbox().answerTo(client_seq);
}

/** Commands kept on this device that the server has not acknowledged yet. */
export function unsent(): ReadonlySignal<number> {
  return theOutbox().unsent;
}

export function connect(page: 'pass' | 'order'): Joined<PassBoard>;
export function connect(page: 'station', station: string): Joined<StationBoard>;
export function connect(page: Page, station?: string): Joined<PassBoard | StationBoard> {
  const board = signal<PassBoard | StationBoard | null>(station === undefined ? null : keptBoard(station));
  const cue = signal<ActionView | null>(null);
  const line = io({ transports: ['websocket', 'polling'], reconnectionDelay: 300, reconnectionDelayMax: 2000 });
  socket = line;
  const outbox = theOutbox();
  const ask = (t1: number) =>
    line.connected
      ? (line.volatile.timeout(SILENT_MS).emitWithAck('clock', { t1 }) as Promise<ProbeAnswer>)
      : Promise.reject(new Error('out of touch'));
  const syncClock = followServer(ask);

  let keeping: ReturnType<typeof setTimeout> | undefined;
  const keep = () => {
    keeping = undefined;
    if (station !== undefined && board.value !== null) keepBoard(board.value as StationBoard);
  };
  const take = (next: PassBoard | StationBoard | undefined) => {
    if (!next) return;
    board.value = next;
    // Once a second is enough to go on from, and spares the phone's storage.
    keeping ??= setTimeout(keep, 1000);
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
      joined = true;
      unanswered = 0;
      say(true);
      void syncClock();
      outbox.wake();
    } catch {
      if (line.connected) setTimeout(join, 1000);
    }
  };
  let unanswered = 0;
  let joined = false;
  const heartbeat = async () => {
    if (!line.connected || !joined) return;
    try {
      const answer = await ask(kitchenClock.mark());
      kitchenClock.learn(answer, kitchenClock.mark());
      unanswered = 0;
      if (!link.value.inTouch) outbox.wake();
      say(true);
    } catch {
      say(false);
      unanswered += 1;
      // The library would wait for its own ping, half a minute or more.
      if (unanswered >= 2 && line.connected) line.io.engine.close();
    }
  };
  const beating = setInterval(heartbeat, HEARTBEAT_MS);
  const unplugged = () => say(false);
  addEventListener('offline', unplugged);
  addEventListener('online', heartbeat);
  line.on('connect', join);
  line.on('disconnect', () => {
    joined = false;
    say(false);
  });
  line.on('board', take);
  line.on('cue', (next: ActionView) => {
    cue.value = next;
  });
  const close = () => {
    clearInterval(beating);
    clearTimeout(keeping);
    removeEventListener('offline', unplugged);
    removeEventListener('online', heartbeat);
    line.close();
  };
  return { board, link, cue, close };
}
