import { computed, effect, type ReadonlySignal, signal } from '@preact/signals';
import { acts } from '../../actions/registry';
import type { BookDish, Command, CourseAsked, KitchenInfo, PassBoard, Problem, Reply } from '../../wire/messages';
import { asked, type Draft, EMPTY, type Evening, lacking } from './order_model';
import type { Quoter } from './quoter';
import { instantOf } from './time_of_day';

/** A table as it is quoted before it has been named. */
const NO_TABLE = '–';

/** An order that the kitchen has taken: what it was, so that it can be taken back and typed on. */
export interface TakenOrder {
  readonly draft: Draft;
  readonly table: string;
  readonly courses: readonly CourseAsked[];
  readonly seq: number;
}

/** An order that was handed in and is not answered yet. */
interface OnItsWay {
  readonly client_seq: number;
  readonly draft: Draft;
  readonly table: string;
  readonly courses: readonly CourseAsked[];
}

/** What the desk asks of the world around it. */
export interface Around {
  readonly book: ReadonlySignal<readonly BookDish[] | null>;
  readonly kitchen: ReadonlySignal<KitchenInfo | null>;
  readonly board: ReadonlySignal<PassBoard | null>;
  /** `kept` hears the number that the command is kept under until the kitchen has answered. */
  readonly send: (command: Command, kept?: (client_seq: number) => void) => Promise<Reply>;
  /** The answer to what is kept under this number; null where nothing is: it has been answered. */
  readonly answerTo: (client_seq: number) => Promise<Reply | null>;
  readonly quoter: Quoter;
  /** Where a draft is kept until it is taken; null where nothing can be kept. */
  readonly keep: Storage | null;
}

const PLACE = 'kitchen-timer order';

/** An order on its way: which command it is, so that a page loaded anew waits for its answer and takes it only once. */
const ON_ITS_WAY = 'kitchen-timer order on its way';

/** The order being typed, its quote, and its taking. Nothing typed is lost until the kitchen has it. */
export class OrderDesk {
  private readonly typed = signal<Draft>(EMPTY);
  private readonly done = signal<TakenOrder | null>(null);
  private readonly refusal = signal<Problem | null>(null);
  private readonly busy = signal(false);
  /** Ends what the desk does by itself; for tests and for leaving the page. */
  readonly close: () => void;

  constructor(private readonly around: Around) {
    this.typed.value = kept(around.keep);
    const keep = effect(() => {
      around.keep?.setItem(PLACE, JSON.stringify(this.typed.value));
    });
    const quote = effect(() => {
      const evening = this.evening.value;
      if (evening === null) return;
      const table = this.typed.value.table.trim() || NO_TABLE;
      around.quoter.wonder({ table, courses: asked(this.typed.value, evening) });
    });
    // The kitchen moves on while one types: ask again whenever its board has a new number.
    const follow = effect(() => {
      if (around.board.value !== null) around.quoter.again();
    });
    void this.resume();
    this.close = () => {
      keep();
      quote();
      follow();
    };
  }

  get draft(): ReadonlySignal<Draft> {
    return this.typed;
  }

  get taken(): ReadonlySignal<TakenOrder | null> {
    return this.done;
  }

  get refused(): ReadonlySignal<Problem | null> {
    return this.refusal;
  }

  /** Whether the kitchen's answer to this order is still to come. */
  get taking(): ReadonlySignal<boolean> {
    return this.busy;
  }

  /** Courses that the table of the draft has in the kitchen or on hold. */
  readonly open = computed<readonly string[]>(() => {
    const board = this.around.board.value;
    const table = this.typed.value.table.trim();
    return board === null
      ? []
      : [...board.courses, ...board.held].filter((one) => one.table === table).map((one) => one.course);
  });

  private readonly evening = computed<Evening | null>(() => {
    const book = this.around.book.value;
    const kitchen = this.around.kitchen.value;
    if (book === null || kitchen === null) return null;
    return { book, open: this.open.value, instantOf: (time) => instantOf(kitchen.service, time, kitchen.timezone) };
  });

  change(to: (draft: Draft) => Draft): void {
    this.refusal.value = null;
    this.typed.value = to(this.typed.value);
  }

  /** Takes the order if nothing lacks; the draft goes only once the kitchen has it. */
  async take(): Promise<boolean> {
    const draft = this.typed.value;
    const evening = this.evening.value;
    if (this.busy.value || evening === null || lacking(draft).length > 0) return false;
    this.busy.value = true;
    const table = draft.table.trim();
    const courses = asked(draft, evening);
    const onItsWay = (client_seq: number) => {
      const way: OnItsWay = { client_seq, draft, table, courses };
      this.around.keep?.setItem(ON_ITS_WAY, JSON.stringify(way));
    };
    const reply = await this.around.send(acts.take.command(table, courses, true), onItsWay);
    return this.answered(reply, { draft, table, courses });
  }

  /** An order handed in before this page was loaded anew: its answer is waited for, its draft is not taken twice. */
  private async resume(): Promise<void> {
    const way = onItsWay(this.around.keep);
    if (way === null) return;
    this.busy.value = true;
    const reply = await this.around.answerTo(way.client_seq);
    if (reply !== null) this.answered(reply, way);
    else {
      // Answered while no page was there to hear it; a refusal would have left nothing in the kitchen to look at.
      this.busy.value = false;
      this.around.keep?.removeItem(ON_ITS_WAY);
      if (this.open.peek().length > 0) this.typed.value = EMPTY;
    }
  }

  private answered(reply: Reply, { draft, table, courses }: Omit<OnItsWay, 'client_seq'>): boolean {
    this.busy.value = false;
    this.around.keep?.removeItem(ON_ITS_WAY);
    if (!reply.ok) {
      this.refusal.value = reply.problem;
      return false;
    }
    this.done.value = { draft, table, courses, seq: reply.seq };
    this.typed.value = EMPTY;
    return true;
  }

  /** Takes the last order back; what was typed returns if nothing else has been typed since. */
  async undo(): Promise<void> {
    const order = this.done.value;
    if (order === null) return;
    const reply = await this.around.send(acts.undo.command(order.seq));
    if (!reply.ok) {
      this.refusal.value = reply.problem;
      return;
    }
    this.done.value = null;
    if (this.typed.value.lines.length === 0) this.typed.value = order.draft;
  }

  clear(): void {
    this.change(() => EMPTY);
  }

  dismiss(): void {
    this.done.value = null;
  }
}

function kept(place: Storage | null): Draft {
  try {
    return { ...EMPTY, ...(JSON.parse(place?.getItem(PLACE) ?? '{}') as Partial<Draft>) };
  } catch {
    return EMPTY;
  }
}

function onItsWay(place: Storage | null): OnItsWay | null {
  try {
    return JSON.parse(place?.getItem(ON_ITS_WAY) ?? 'null') as OnItsWay | null;
  } catch {
    return null;
  }
}
