/** Taps on their way: kept until the server has acknowledged them, handed in once each and in order. */

import { type ReadonlySignal, signal } from '@preact/signals';
import type { Command, Reply } from './messages';
import type { Kept, Store } from './store';

const LOST: Reply = {
  ok: false,
  problem: { type: 'about:blank', title: '', status: 409, detail: '', code: 'not-now', faults: [] },
};

type Carry = (taken: Kept) => Promise<Reply>;

export class Outbox {
  private readonly store: Promise<Store>;
  private queue: Kept[] = [];
  private readonly waiting = new Map<number, (reply: Reply) => void>();
  private readonly numbers = new WeakMap<Promise<Reply>, Promise<number>>();
  private readonly answered = new Map<number, Reply>();
  private readonly loaded: Promise<void>;
  private carrying = false;
  private readonly count = signal(0);

  /** `carry` hands one command to the server and rejects when no answer came: it is then handed in again later. */
  constructor(
    store: Promise<Store>,
    private readonly carry: Carry,
    private readonly again_ms = 700,
  ) {
    this.store = store;
    this.loaded = store.then(async (open) => {
      this.queue = [...(await open.all())];
      this.count.value = this.queue.length;
    });
  }

  /** How many commands wait for the server's word. */
  get unsent(): ReadonlySignal<number> {
    return this.count;
  }

  async clientId(): Promise<string> {
    return (await this.store).clientId();
  }

  /**
   * Keeps the command, then hands it in; resolves with the server's answer. `kept` hears the number it is kept under,
   * by which a page that was loaded anew can ask what became of it.
   */
  send(command: Command, kept?: (client_seq: number) => void): Promise<Reply> {
    const number = this.loaded.then(async () => this.queued(await (await this.store).keep(command)));
    const reply = number.then((client_seq) => {
      kept?.(client_seq);
      return this.answer(client_seq);
    });
    this.numbers.set(reply, number);
    return reply;
  }

  /**
   * Takes back what `send` gave this promise for. Kept like any command, so that it is not lost when the page closes
   * before the server has heard of either: the number that undo needs comes with the other's acknowledgement.
   */
  async takeBack(sent: Promise<Reply>): Promise<Reply> {
    const of = await this.numbers.get(sent);
    if (of === undefined) throw new Error('never sent from here');
    const reply = this.answered.get(of);
    if (reply !== undefined) return reply.ok ? this.send({ kind: 'undo', seq: reply.seq }) : reply;
    const kept = await (await this.store).keep({ kind: 'undo', seq: 0 }, of);
    // It may have been answered while this one was being written down.
    const meanwhile = this.answered.get(of);
    const ready = meanwhile === undefined ? kept : await this.settled(kept, meanwhile);
    return this.answer(meanwhile?.ok === false ? ready.client_seq : this.queued(ready));
  }

  /** The answer to a command that is kept under this number, as it comes; null where none is kept any more. */
  async answerTo(client_seq: number): Promise<Reply | null> {
    await this.loaded;
    return this.queue.some((kept) => kept.client_seq === client_seq) ? this.answer(client_seq) : null;
  }

  private answer(client_seq: number): Promise<Reply> {
    const known = this.answered.get(client_seq);
    return known ? Promise.resolve(known) : new Promise((resolve) => this.waiting.set(client_seq, resolve));
  }

  private queued(kept: Kept): number {
    this.queue.push(kept);
    this.queue.sort((a, b) => a.client_seq - b.client_seq);
    this.count.value = this.queue.length;
    queueMicrotask(() => this.wake());
    return kept.client_seq;
  }

  /** In touch again: hand in what waits. */
  wake(): void {
    void this.carryAll();
  }

  private async carryAll(): Promise<void> {
    await this.loaded;
    if (this.carrying) return;
    this.carrying = true;
    try {
      for (let next = this.queue[0]; next !== undefined; next = this.queue[0]) {
        // Its command was answered before this page was loaded, and the answer is gone: nothing can name it any more.
        if (next.takes_back !== undefined) {
          await this.done(next, LOST);
          continue;
        }
        const reply = await this.carry(next);
        // 503: the server is starting up or closing; the tap is not refused, only not taken yet
        if (!reply.ok && reply.problem.status === 503) throw new Error('not taken yet');
        // Known from here on: what takes it back while it is being forgotten has the number to name.
        this.answered.set(next.client_seq, reply);
        // What takes it back is written down before this one is forgotten: a page closed in between repeats both.
        for (const kept of this.queue.filter((one) => one.takes_back === next.client_seq)) {
          await this.settled(kept, reply);
        }
        await this.done(next, reply);
      }
    } catch {
      setTimeout(() => this.wake(), this.again_ms);
    } finally {
      this.carrying = false;
    }
  }

  private async done(kept: Kept, reply: Reply): Promise<void> {
    await (await this.store).forget(kept.client_seq);
    this.answered.set(kept.client_seq, reply);
    this.queue = this.queue.filter((one) => one !== kept);
    this.count.value = this.queue.length;
    this.waiting.get(kept.client_seq)?.(reply);
    this.waiting.delete(kept.client_seq);
  }

  /** What takes a command back, once that command was answered: an undo of its number, or nothing where it was refused. */
  private async settled(kept: Kept, of: Reply): Promise<Kept> {
    if (!of.ok) {
      await this.done(kept, of);
      return kept;
    }
    const { takes_back: _, ...undo } = { ...kept, command: { kind: 'undo' as const, seq: of.seq } };
    await (await this.store).rewrite(undo);
    this.queue = this.queue.map((one) => (one === kept ? undo : one));
    return undo;
  }
}
