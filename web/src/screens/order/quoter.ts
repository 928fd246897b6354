import { type ReadonlySignal, signal } from '@preact/signals';
import type { CourseAsked, Problem, Quote } from '../../wire/messages';

export interface Question {
  readonly table: string;
  readonly courses: readonly CourseAsked[];
}

/** What is known of the order that is being typed. `of` is the question that the latest answer belongs to. */
export type Quoted =
  | { readonly kind: 'nothing' }
  | { readonly kind: 'answer'; readonly quote: Quote; readonly of: Question }
  | { readonly kind: 'problem'; readonly problem: Problem; readonly of: Question }
  | { readonly kind: 'unreachable'; readonly of: Question };

export type AskServer = (question: Question, stop: AbortSignal) => Promise<Quote | Problem>;

/** Real milliseconds without a keystroke before the server is asked. */
export const PAUSE_MS = 250;

/** Real milliseconds between two questions about the same order while the kitchen moves on. */
export const AGAIN_MS = 5_000;

/** Asks for a quote once typing pauses, drops what has gone stale, and keeps the last answer in sight meanwhile. */
export class Quoter {
  private readonly latest = signal<Quoted>({ kind: 'nothing' });
  private readonly waiting = signal(false);
  private timer: ReturnType<typeof setTimeout> | undefined;
  private stop = new AbortController();
  private last = '';
  private asked_ms = Number.NEGATIVE_INFINITY;

  constructor(
    private readonly ask: AskServer,
    private readonly steady_ms: () => number = () => performance.now(),
  ) {}

  get quoted(): ReadonlySignal<Quoted> {
    return this.latest;
  }

  /** Whether an answer to what is typed now is still to come. */
  get asking(): ReadonlySignal<boolean> {
    return this.waiting;
  }

  /** What is typed has changed; null or no courses: nothing to quote. */
  wonder(question: Question | null): void {
    const text = JSON.stringify(question);
    if (text === this.last) return;
    this.last = text;
    this.forget();
    if (question === null || question.courses.length === 0) {
      this.latest.value = { kind: 'nothing' };
      return;
    }
    this.waiting.value = true;
    this.timer = setTimeout(() => void this.put(question), PAUSE_MS);
  }

  /** Asks once more although nothing was typed: the kitchen has moved on. */
  again(): void {
    const quoted = this.latest.peek();
    if (quoted.kind === 'nothing' || this.waiting.peek()) return;
    if (this.steady_ms() - this.asked_ms < AGAIN_MS) return;
    void this.put(quoted.of);
  }

  private forget(): void {
    clearTimeout(this.timer);
    this.stop.abort();
    this.waiting.value = false;
  }

  private async put(question: Question): Promise<void> {
    const stop = new AbortController();
    this.stop = stop;
    this.asked_ms = this.steady_ms();
    let quoted: Quoted;
    try {
      const answer = await this.ask(question, stop.signal);
      quoted =
        'status' in answer
          ? { kind: 'problem', problem: answer, of: question }
          : { kind: 'answer', quote: answer, of: question };
    } catch {
      quoted = { kind: 'unreachable', of: question };
    }
    if (stop.signal.aborted) return;
    this.waiting.value = false;
    this.latest.value = quoted;
  }
}

/** Asks the server itself. Rejects when it cannot be reached or was told to stop. */
export const askServer: AskServer = async (question, stop) => {
  const reply = await fetch('/api/quote', {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify(question),
    signal: stop,
  });
  return (await reply.json()) as Quote | Problem;
};
