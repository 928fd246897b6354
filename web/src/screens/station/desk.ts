import { computed, type ReadonlySignal, signal } from '@preact/signals';
import { acts } from '../../actions/registry';
import type { ActionView, Command, NoteView, Reply, StationBoard } from '../../wire/messages';
import { say } from '../../words/say';
import { actionsNow, bigOne, cueWords, notesNow, runningSteps, stillOpen, type Tap } from './station_model';

/** Real milliseconds in which a tap can be taken back. */
export const UNDO_MS = 10_000;

/** Real milliseconds after a tap in which the big action takes no other: wet fingers bounce. */
export const BOUNCE_MS = 400;

/** Real milliseconds after the server's word in which the board is waited for. */
const SETTLE_MS = 3_000;

interface OpenTap extends Tap {
  readonly number: number;
  /** The number that the server gave it; null until it did. */
  readonly seq: number | null;
}

/** The latest tap, while it can be taken back. */
export interface Taken {
  readonly number: number;
  readonly words: string;
  readonly act: Tap['act'];
}

/** What the desk asks of the world around it, so that a test can be the world. */
export interface Around {
  readonly board: ReadonlySignal<StationBoard | null>;
  readonly send: (command: Command) => Promise<Reply>;
  /** Takes back what `send` gave this promise for, whether or not the server has heard of it yet. */
  readonly takeBack: (sent: Promise<Reply>) => Promise<Reply>;
  /** Kitchen ms. */
  readonly now_ms: () => number;
  /** Real ms, only ever running forward. */
  readonly steady_ms: () => number;
}

/** What a cook does at one station, and what the page shows of it before the server has answered. */
export class StationDesk {
  private readonly taps = signal<readonly OpenTap[]>([]);
  private readonly raised = signal<string | null>(null);
  private readonly latest = signal<Taken | null>(null);
  private readonly refusal = signal<string | null>(null);
  private readonly replies = new Map<number, Promise<Reply>>();
  private lastTap_ms = Number.NEGATIVE_INFINITY;
  private count = 0;

  private readonly open = computed(() => stillOpen(this.taps.value, this.around.board.value));

  constructor(private readonly around: Around) {}

  /** Actions by due time, as this device knows them. */
  readonly actions = computed<readonly ActionView[]>(() => {
    const board = this.around.board.value;
    return board === null ? [] : actionsNow(board, this.open.value);
  });

  /** Notes of the score, with what was tapped here already played. */
  readonly notes = computed<readonly NoteView[]>(() => {
    const board = this.around.board.value;
    return board === null ? [] : notesNow(board, this.open.value);
  });

  /** The one in the big place. */
  readonly big = computed(() => bigOne(this.actions.value, this.raised.value));

  /** Steps that run under the big action. */
  readonly running = computed(() => {
    const action = this.big.value;
    return action === null ? [] : runningSteps(action, this.around.board.value?.notes ?? [], this.open.value);
  });

  /** The latest tap, while it can be taken back. */
  get taken(): ReadonlySignal<Taken | null> {
    return this.latest;
  }

  /** Why the server refused the latest tap that it did refuse. */
  get refused(): ReadonlySignal<string | null> {
    return this.refusal;
  }

  raise(action: ActionView): void {
    this.raised.value = action.id;
  }

  /** The big action's tap: Started or Done. */
  tap(action: ActionView): void {
    const since_ms = this.around.steady_ms() - this.lastTap_ms;
    if (since_ms < BOUNCE_MS) return;
    const at_ms = this.around.now_ms();
    const at = new Date(Math.floor(at_ms / 1000) * 1000).toISOString();
    const act = action.kind === 'start' ? 'started' : 'done';
    this.take({ action, act, at_ms }, acts[act].command(action.steps, at));
    this.raised.value = null;
  }

  /** Thirty seconds more for what runs under the action. */
  more(action: ActionView): void {
    const steps = this.running.value;
    if (steps.length > 0) this.take({ action, act: 'more', at_ms: this.around.now_ms() }, acts.more.command(steps));
  }

  /** One load is lost and cooked again. */
  again(action: ActionView, load: string): void {
    const steps = action.steps.filter((step) => step.startsWith(`${load}/`));
    this.take({ action: { ...action, steps }, act: 'again', at_ms: this.around.now_ms() }, acts.again.command(load));
  }

  /** Takes the latest tap back: here at once, at the server as soon as both can be handed in. */
  undo(): void {
    const taken = this.latest.value;
    if (taken === null) return;
    this.latest.value = null;
    this.drop(taken.number);
    const sent = this.replies.get(taken.number);
    if (sent === undefined) return;
    void this.around.takeBack(sent).then(async (undone) => {
      // A tap that was refused has nothing to take back, and its refusal has been shown.
      if (!undone.ok && (await sent).ok) this.refusal.value = undone.problem.detail;
    });
  }

  private take(tap: Tap, command: Command): void {
    this.count += 1;
    const number = this.count;
    this.lastTap_ms = this.around.steady_ms();
    this.refusal.value = null;
    this.taps.value = [...this.open.value, { ...tap, number, seq: null }];
    this.latest.value = { number, words: tapWords(tap), act: tap.act };
    setTimeout(() => {
      if (this.latest.value?.number === number) this.latest.value = null;
      this.replies.delete(number);
    }, UNDO_MS);
    const reply = this.around.send(command);
    this.replies.set(number, reply);
    void reply.then((answer) => {
      if (!answer.ok) {
        this.drop(number);
        this.refusal.value = answer.problem.detail;
        if (this.latest.value?.number === number) this.latest.value = null;
        return;
      }
      this.taps.value = this.taps.value.map((one) => (one.number === number ? { ...one, seq: answer.seq } : one));
      setTimeout(() => this.drop(number), SETTLE_MS);
    });
  }

  private drop(number: number): void {
    this.taps.value = this.taps.value.filter((tap) => tap.number !== number);
  }
}

function tapWords({ action, act }: Tap): string {
  const { verb, component } = cueWords(action);
  const what = act === 'started' && action.kind === 'start' ? `${verb} ${component}` : component;
  return say(`station.taken.${act}`, { what });
}
