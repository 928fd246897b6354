import type { RefObject } from 'preact';
import { acts, label } from '../../actions/registry';
import { minutes, timeOfDay } from '../../clock/say_time';
import type { Quote } from '../../wire/messages';
import { unsent } from '../../wire/socket';
import { type Key, list, say } from '../../words/say';
import type { OrderDesk } from './desk';
import { answer, lacking, plateCount } from './order_model';
import type { Quoter } from './quoter';

interface TakeBarProps {
  desk: OrderDesk;
  quoter: Quoter;
  question: RefObject<HTMLFieldSetElement | null>;
  button: RefObject<HTMLButtonElement | null>;
  take: () => void;
}

/** Always in sight: whether allergies were asked for, and the one button that takes the order. */
export function TakeBar({ desk, quoter, question, button, take }: TakeBarProps) {
  const draft = desk.draft.value;
  const lacks = lacking(draft);
  const marked = draft.lines.some((line) => line.allergies.length > 0);
  const say_ = (asked: 'none' | 'some') => {
    desk.change((now) => answer(now, asked));
    if (lacking(desk.draft.peek()).length === 0) button.current?.focus();
  };
  const press = (event: KeyboardEvent) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const key = event.key.toUpperCase();
    if (key === say('order.asked_none_key') && !marked) say_('none');
    else if (key === say('order.asked_some_key')) say_('some');
    else return;
    event.preventDefault();
  };
  const quoted = quoter.quoted.value;
  const landings =
    quoted.kind === 'answer'
      ? quoted.quote.courses.map((course) =>
          say('order.taken_land', { course: course.course, time: timeOfDay(course.landing_at) }),
        )
      : [];
  const delays = quoted.kind === 'answer' && draft.lines.length > 0 ? delayed(quoted.quote) : '';
  const words = say as (key: Key) => string;
  return (
    <div class="take-bar">
      <fieldset class="asked" ref={question} tabIndex={-1} onKeyDown={press}>
        <legend>{say('order.asked')}</legend>
        <button type="button" aria-pressed={draft.asked === 'none'} disabled={marked} onClick={() => say_('none')}>
          <u>{say('order.asked_none').charAt(0)}</u>
          {say('order.asked_none').slice(1)}
        </button>
        <button type="button" aria-pressed={draft.asked === 'some'} onClick={() => say_('some')}>
          <u>{say('order.asked_some').charAt(0)}</u>
          {say('order.asked_some').slice(1)}
        </button>
      </fieldset>
      <button
        ref={button}
        type="button"
        class="take"
        aria-disabled={lacks.length > 0 || desk.taking.value}
        aria-describedby="lacking"
        onClick={take}
      >
        <b>{label(acts.take)}</b>
        <span class="figures">{[say('order.take_plates', { n: plateCount(draft) }), ...landings].join(' · ')}</span>
        {delays !== '' && <span class="bar-delays figures">{delays}</span>}
      </button>
      <p id="lacking" class="lacking" aria-live="polite">
        {desk.taking.value
          ? unsent().value > 0
            ? say('order.handing_in')
            : ''
          : lacks.length > 0 && (draft.lines.length > 0 || draft.table !== '')
            ? say('order.lacking', { what: list(lacks.map((one) => words(`order.lacks.${one}`))) })
            : ''}
      </p>
    </div>
  );
}

/** Whom it delays the most, and how many others: in sight however long the order is. */
function delayed(quote: Quote): string {
  const [worst, ...others] = quote.delays;
  if (worst === undefined) return quote.courses.length > 0 ? say('order.delays_nobody') : '';
  const { table, course } = worst;
  const first = say('order.delays', { table, course, by: minutes(worst.by_s) });
  return [first, others.length > 0 ? `+ ${others.length}` : ''].filter(Boolean).join(' · ');
}
