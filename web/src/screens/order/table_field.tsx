import type { RefObject } from 'preact';
import { say } from '../../words/say';
import type { OrderDesk } from './desk';

const DIGITS = ['1', '2', '3', '4', '5', '6', '7', '8', '9', '0'];

interface TableFieldProps {
  desk: OrderDesk;
  field: RefObject<HTMLInputElement | null>;
  /** Enter: on to the dishes. */
  next: () => void;
  faults: readonly string[];
}

/** Which table: typed, or touched on a row of digits that never hides the page as a phone's keyboard does. */
export function TableField({ desk, field, next, faults }: TableFieldProps) {
  const table = desk.draft.value.table;
  const set = (to: string) => desk.change((draft) => ({ ...draft, table: to.slice(0, 12) }));
  return (
    <div class="table-field">
      <label for="table">{say('order.table')}</label>
      <input
        id="table"
        ref={field}
        class="figures"
        value={table}
        maxLength={12}
        autoComplete="off"
        enterKeyHint="next"
        aria-invalid={faults.length > 0}
        aria-describedby="table-faults"
        onInput={(event) => set(event.currentTarget.value)}
        onKeyDown={(event) => {
          if (event.key !== 'Enter' || event.ctrlKey) return;
          event.preventDefault();
          next();
        }}
      />
      <div class="digits">
        {DIGITS.map((digit) => (
          <button
            key={digit}
            type="button"
            tabIndex={-1}
            aria-label={say('order.digit', { digit })}
            onClick={() => set(table + digit)}
          >
            {digit}
          </button>
        ))}
        <button type="button" tabIndex={-1} aria-label={say('order.rub_out')} onClick={() => set(table.slice(0, -1))}>
          ←
        </button>
      </div>
      <div id="table-faults" class="faults">
        {faults.map((words) => (
          <p key={words}>{words}</p>
        ))}
      </div>
    </div>
  );
}
