import type { BookDish } from '../../wire/messages';
import { say } from '../../words/say';
import type { OrderDesk } from './desk';
import { earlier, isTime, type Landing, landingOf, setLanding, USUAL_GAP_MIN } from './order_model';

interface LandingChoiceProps {
  desk: OrderDesk;
  book: readonly BookDish[];
  course: string;
}

/** How a course shall land: as soon as it can, after an earlier course, at a time, or held until it is called. */
export function LandingChoice({ desk, book, course }: LandingChoiceProps) {
  const draft = desk.draft.value;
  const open = desk.open.value;
  const landing = landingOf(draft, course, book, open);
  const before = earlier(draft, course, book, open);
  const set = (to: Landing) => desk.change((now) => setLanding(now, course, to));
  const choice = (words: string, chosen: boolean, to: Landing) => (
    <button type="button" aria-pressed={chosen} onClick={() => set(to)}>
      {words}
    </button>
  );
  return (
    <fieldset class="landing-choice">
      <legend class="unseen">{say('order.landing', { course })}</legend>
      {choice(say('order.asap'), landing.kind === 'asap', { kind: 'asap' })}
      {before.map((one) => (
        <span key={one} class="pair">
          {choice(say('order.after', { course: one }), landing.kind === 'after' && landing.after === one, {
            kind: 'after',
            after: one,
            gap_min: landing.kind === 'after' ? landing.gap_min : USUAL_GAP_MIN,
          })}
          {landing.kind === 'after' && landing.after === one && (
            <input
              type="number"
              class="figures"
              min={0}
              max={90}
              inputMode="numeric"
              value={landing.gap_min}
              aria-label={say('order.after_gap', { before: one, course })}
              onInput={(event) => {
                const gap_min = Math.round(Number(event.currentTarget.value));
                if (gap_min >= 0 && gap_min <= 600) set({ kind: 'after', after: one, gap_min });
              }}
            />
          )}
        </span>
      ))}
      <span class="pair">
        {choice(say('order.at'), landing.kind === 'time', {
          kind: 'time',
          at: landing.kind === 'time' ? landing.at : '',
        })}
        {landing.kind === 'time' && (
          <input
            class="figures"
            placeholder="19:40"
            inputMode="numeric"
            value={landing.at}
            aria-label={say('order.at_time', { course })}
            aria-invalid={!isTime(landing.at)}
            onInput={(event) => set({ kind: 'time', at: withColon(event.currentTarget.value) })}
          />
        )}
      </span>
      {choice(say('order.hold'), landing.kind === 'hold', { kind: 'hold' })}
    </fieldset>
  );
}

/** Four digits from a keypad without a colon are a time of day too. */
function withColon(text: string): string {
  return /^\d{4}$/.test(text) ? `${text.slice(0, 2)}:${text.slice(2)}` : text;
}
