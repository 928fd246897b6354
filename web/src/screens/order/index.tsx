import { useEffect, useMemo, useRef } from 'preact/hooks';
import { book, kitchen, loadBook } from '../../board/kitchen';
import { tick } from '../../clock/kitchen_clock';
import { timeWithSeconds } from '../../clock/say_time';
import type { BookDish, PassBoard } from '../../wire/messages';
import { answerTo, connect, send } from '../../wire/socket';
import { say } from '../../words/say';
import { OrderDesk } from './desk';
import { Dishes } from './dishes';
import { place } from './faults';
import { Keys } from './keys';
import { Faults, Lines } from './lines';
import './order.css';
import './order_quote.css';
import './order_sizes.css';
import { courseNames, EMPTY, lacking, landingOf } from './order_model';
import { QuotePanel } from './quote_panel';
import { askServer, Quoter } from './quoter';
import { TableField } from './table_field';
import { TakeBar } from './take_bar';
import { TakenStrip } from './taken_strip';

/** `/order`: follows a called order and shows, while it is typed, what the kitchen would make of it. */
export default function OrderPage() {
  const { line, desk, quoter } = useMemo(() => {
    const joined = connect('order');
    const quoting = new Quoter(askServer);
    const around = { book, kitchen, board: joined.board, send, answerTo, quoter: quoting, keep: storage() };
    return { line: joined, desk: new OrderDesk(around), quoter: quoting };
  }, []);
  const table = useRef<HTMLInputElement>(null);
  const called = useRef<HTMLInputElement>(null);
  const question = useRef<HTMLFieldSetElement>(null);
  const button = useRef<HTMLButtonElement>(null);
  const dishes = book.value;

  useEffect(() => {
    document.title = say('order.title');
    void loadBook();
    return () => {
      desk.close();
      line.close();
    };
  }, [desk, line]);

  const take = async () => {
    const [lack] = lacking(desk.draft.peek());
    if (lack === 'table') return table.current?.focus();
    if (lack === 'dishes') return called.current?.focus();
    if (lack === 'allergies') return question.current?.focus();
    if (lack !== undefined) return;
    if (await desk.take()) {
      scrollTo({ top: 0 });
      // On a touch screen a focused field would call its keyboard up over the page.
      if (matchMedia('(hover: hover)').matches) table.current?.focus();
    }
  };

  useEffect(() => {
    if (dishes !== null && matchMedia('(hover: hover)').matches) table.current?.focus();
  }, [dishes]);
  useEffect(() => {
    const press = (event: KeyboardEvent) => {
      if (event.key !== 'Enter' || !event.ctrlKey) return;
      event.preventDefault();
      void take();
    };
    addEventListener('keydown', press);
    return () => removeEventListener('keydown', press);
  });

  if (dishes === null) return <p class="opening">{say('loading')}</p>;
  const draft = desk.draft.value;
  const quoted = quoter.quoted.value;
  const problem = desk.refused.value ?? (quoted.kind === 'problem' ? quoted.problem : null);
  const placed = place(problem, draft, dishes);
  const held = courseNames(draft, dishes).filter(
    (course) => landingOf(draft, course, dishes, desk.open.value).kind === 'hold',
  );
  const touch = line.link.value.inTouch;
  return (
    <main class="order">
      <header>
        <h1>{say('order.heading')}</h1>
        <p class="quiet">{[kitchen.value?.name, say(touch ? 'link.in_touch' : 'link.out_of_touch')].join(' · ')}</p>
        {draft !== EMPTY && draft.lines.length > 0 && (
          <button type="button" onClick={() => desk.clear()}>
            {say('order.clear')}
          </button>
        )}
        <Time />
      </header>
      <TakenStrip desk={desk} board={line.board.value} />
      <div class="typing">
        <TableField desk={desk} field={table} next={() => called.current?.focus()} faults={placed.table} />
        <Dishes
          desk={desk}
          book={dishes}
          off={(dish) => offOf(line.board.value, dish)}
          field={called}
          next={() => (draft.asked === 'not_yet' ? question : button).current?.focus()}
        />
        <Keys />
      </div>
      <div class="seeing">
        <Lines desk={desk} book={dishes} placed={placed} />
        <Faults of={placed.elsewhere} />
        {!touch && desk.taking.value && <p class="loud">{say('order.kept')}</p>}
        <QuotePanel desk={desk} quoter={quoter} held={held} />
      </div>
      <TakeBar desk={desk} quoter={quoter} question={question} button={button} take={() => void take()} />
    </main>
  );
}

/** What a dish lacks now: the board says it as soon as the pass does, the book only when it was fetched. */
function offOf(board: PassBoard | null, dish: BookDish): string {
  if (board === null) return dish.off;
  return board.off.find((one) => one.dishes.includes(dish.dish))?.name ?? '';
}

function Time() {
  return <time class="clock figures">{timeWithSeconds(tick.value * 1000)}</time>;
}

function storage(): Storage | null {
  try {
    return sessionStorage;
  } catch {
    return null;
  }
}
