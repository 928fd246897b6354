/**
 * The kitchen's clock on this device: follows the server's, which may run faster than real time in the demo.
 * Everything that counts down reads it through `kitchenNow()` or the one ticker.
 */

import { type ReadonlySignal, signal } from '@preact/signals';
import { type Offset, offsetOf, type Probe } from './probes';

/** What the server answers to a probe: its real clock at T2 and T3, and the kitchen's clock at T3, all ms. */
export interface ProbeAnswer {
  t1: number;
  t2: number;
  t3: number;
  kitchen_at_t3: number;
  speed: number;
}

export interface Source {
  /** A clock that only runs forward, ms from any origin. */
  steady(): number;
  /** The device's wall clock, ms since 1970: tells how long it slept while the steady one stood still. */
  wall(): number;
}

/** It was `kitchen` ms in the kitchen when this device's wall clock said `wall` ms. */
export interface Anchor {
  kitchen: number;
  wall: number;
  speed: number;
}

/** A round. At 50 ms of jitter the worst in a hundred of twenty were off by more than 5 ms. */
const PROBES = 30;

export const deviceClock: Source = {
  steady: () => performance.now(),
  wall: () => Date.now(),
};

/** Kitchen time from probes; holds no timer and knows no network, so that a turned clock can test it. */
export class KitchenClock {
  private probes: Probe[] = [];
  private offset: Offset | null = null;
  private kitchenAt = { server: 0, kitchen: 0, speed: 1 };
  private slept_ms = 0;
  private last = { steady: 0, wall: 0 };
  private recalled: Anchor | null = null;

  constructor(private readonly source: Source = deviceClock) {
    this.last = { steady: source.steady(), wall: source.wall() };
  }

  /** Ms of this device to put into a probe's T1 and T4. */
  mark(): number {
    return this.source.steady() + this.slept_ms;
  }

  /** Before a new round of probes: what was learnt stays in force until the first answer of the new round. */
  startRound(): void {
    this.noticeSleep();
    this.probes = [];
  }

  /** Takes the answer to a probe that came back at `t4` (`mark()` when it arrived). */
  learn(answer: ProbeAnswer, t4: number): void {
    this.probes = [...this.probes, { t1: answer.t1, t2: answer.t2, t3: answer.t3, t4 }].slice(-PROBES);
    this.offset = offsetOf(this.probes);
    this.kitchenAt = { server: answer.t3, kitchen: answer.kitchen_at_t3, speed: answer.speed };
  }

  /** What a page loaded anew needs to go on counting before the server answers; null before it ever did. */
  get anchor(): Anchor | null {
    return this.offset === null ? null : { kitchen: this.now(), wall: this.source.wall(), speed: this.kitchenAt.speed };
  }

  /** Goes on from an earlier page's anchor until the server answers: as good as this device's wall clock is. */
  recall(anchor: Anchor): void {
    this.recalled = anchor;
  }

  /** Kitchen time in ms since 1970 UTC; until the first answer what was recalled, or else the device's own clock. */
  now(): number {
    if (this.offset === null) {
      const wall = this.source.wall();
      const { recalled } = this;
      return recalled === null ? wall : recalled.kitchen + (wall - recalled.wall) * recalled.speed;
    }
    const server = this.mark() + this.offset.offset_ms;
    return this.kitchenAt.kitchen + (server - this.kitchenAt.server) * this.kitchenAt.speed;
  }

  /** How far off this clock may be, in ms of real time; null before the first answer. */
  get error_ms(): number | null {
    return this.offset?.error_ms ?? null;
  }

  /** Kitchen seconds in a real second. */
  get speed(): number {
    return this.kitchenAt.speed;
  }

  /** A phone's steady clock stands still while it sleeps: catch up by its wall clock until the server is asked. */
  noticeSleep(): void {
    const steady = this.source.steady();
    const wall = this.source.wall();
    const lost = wall - this.last.wall - (steady - this.last.steady);
    // Below half a second it is drift or a small correction of the wall clock, and backwards is no sleep.
    if (lost > 500) this.slept_ms += lost;
    this.last = { steady, wall };
  }
}

export const kitchenClock = new KitchenClock();

/** Kitchen time, ms since 1970 UTC. */
export function kitchenNow(): number {
  return kitchenClock.now();
}

const second = signal(Math.floor(kitchenNow() / 1000));
const error = signal<number | null>(null);

/** The kitchen's whole second, since 1970 UTC: the one ticker, changing just after the second does. */
export const tick: ReadonlySignal<number> = second;

/** How far off the clock may be, ms; null before the server was heard. */
export const clockError: ReadonlySignal<number | null> = error;

let timer: ReturnType<typeof setTimeout> | undefined;

/** Brings the ticker up to date and sets its next beat. Called once at the start and after every answer. */
export function wind(): void {
  if (timer !== undefined) clearTimeout(timer);
  const now = kitchenNow();
  second.value = Math.floor(now / 1000);
  error.value = kitchenClock.error_ms;
  const left_ms = (1000 - (((now % 1000) + 1000) % 1000)) / kitchenClock.speed;
  timer = setTimeout(wind, Math.max(20, left_ms + 2));
}

/**
 * Asks the server for its time, thirty probes a round, whenever the page is seen again; between rounds the line's
 * heartbeat goes on learning. Asked during a round it asks a whole round more: the clock may have been set since.
 * Returns the way to ask at once (after a reconnect).
 */
export function followServer(ask: (t1: number) => Promise<ProbeAnswer>): () => Promise<void> {
  let running = false;
  let again = false;
  const round = async () => {
    kitchenClock.noticeSleep();
    wind();
    again = running;
    if (running) return;
    running = true;
    kitchenClock.startRound();
    for (let probe = 0; probe < PROBES; probe++) {
      try {
        const answer = await ask(kitchenClock.mark());
        kitchenClock.learn(answer, kitchenClock.mark());
        wind();
      } catch {
        break; // out of touch: the reconnect asks again
      }
      await new Promise((after) => setTimeout(after, probe < 4 ? 10 : 60));
    }
    running = false;
    if (again) await round();
  };
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') void round();
  });
  return round;
}
