/** Taps on their way: kept until the server has acknowledged them, handed in once each and in order. */

import { type ReadonlySignal, signal } from '@preact/signals';
import type { Command, Reply } from './messages';
import type { Kept, Store } from './store';

type Carry = (taken: Kept) => Promise<Reply>;

export class Outbox {
  private readonly store: Promise<Store>;
  private queue: Kept[] = [];
  private readonly waiting = new Map<number, (reply: Reply) => void>();
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

  /** Keeps the command, then hands it in; resolves with the server's answer. */
  async send(command: Command): Promise<Reply> {
    await this.loaded;
    const kept = await (await this.store).keep(command);
    const reply = new Promise<Reply>((resolve) => this.waiting.set(kept.client_seq, resolve));
    this.queue.push(kept);
    this.queue.sort((a, b) => a.client_seq - b.client_seq);
    this.count.value = this.queue.length;
    this.wake();
    return reply;
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
        const reply = await this.carry(next);
        // 503: the server is starting up or closing; the tap is not refused, only not taken yet
        if (!reply.ok && reply.problem.status === 503) throw new Error('not taken yet');
        await (await this.store).forget(next.client_seq);
        this.queue = this.queue.filter((kept) => kept !== next);
        this.count.value = this.queue.length;
        this.waiting.get(next.client_seq)?.(reply);
        this.waiting.delete(next.client_seq);
      }
    } catch {
      setTimeout(() => this.wake(), this.again_ms);
    } finally {
      this.carrying = false;
    }
  }
}
