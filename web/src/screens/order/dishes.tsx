import type { RefObject } from 'preact';
import { useState } from 'preact/hooks';
import type { BookDish } from '../../wire/messages';
import { say } from '../../words/say';
import { find, readCalled } from './called_line';
import type { OrderDesk } from './desk';
import { add, bookCourses } from './order_model';

interface DishesProps {
  desk: OrderDesk;
  book: readonly BookDish[];
  field: RefObject<HTMLInputElement | null>;
  /** What there is none left of that a dish needs; empty: it can be ordered. */
  off: (dish: BookDish) => string;
  /** Enter on an empty line: on to the question about allergies. */
  next: () => void;
}

/** The line that follows what is called, and a tile a dish: type or touch, each adds at once. */
export function Dishes({ desk, book, field, off, next }: DishesProps) {
  const [text, setText] = useState('');
  const [at, setAt] = useState(0);
  const called = readCalled(text);
  const found = find(called.words, book);
  const typing = called.words !== '';
  const chosen = typing ? found[Math.min(at, found.length - 1)] : undefined;
  const put = (dish: BookDish) => {
    if (off(dish) !== '') return;
    desk.change((draft) => add(draft, dish, called));
    setText('');
    setAt(0);
  };
  const press = (event: KeyboardEvent) => {
    if (event.key === 'Enter' && !event.ctrlKey) {
      event.preventDefault();
      if (chosen !== undefined) put(chosen);
      else if (text.trim() === '') next();
    } else if (event.key === 'ArrowDown' || event.key === 'ArrowUp') {
      event.preventDefault();
      setAt((now) => Math.max(0, Math.min(found.length - 1, now + (event.key === 'ArrowDown' ? 1 : -1))));
    } else if (event.key === 'Escape') setText('');
  };
  const marks = [
    called.seat === '' ? null : say('order.seat_said', { seat: called.seat }),
    ...called.allergies.map((allergy) => allergy.toUpperCase()),
    called.note,
  ].filter(Boolean);
  return (
    <section class="dishes" aria-label={say('order.dishes')}>
      <div class="called">
        <label for="called">{say('order.called')}</label>
        <input
          id="called"
          ref={field}
          value={text}
          placeholder={say('order.called_hint')}
          autoComplete="off"
          autoCapitalize="off"
          spellcheck={false}
          enterKeyHint="done"
          aria-describedby="called-says"
          onInput={(event) => {
            setText(event.currentTarget.value);
            setAt(0);
          }}
          onKeyDown={press}
        />
        <p id="called-says" aria-live="polite">
          {chosen !== undefined && off(chosen) !== ''
            ? offSays(chosen, off(chosen))
            : chosen !== undefined
              ? say('order.called_says', { what: [`${called.qty} ${short(chosen)}`, ...marks].join(' · ') })
              : typing
                ? say('order.called_none', { words: called.words })
                : ''}
          {!typing && <span class="hint">{say('order.called_keys')}</span>}
        </p>
      </div>
      {bookCourses(book).map((course) => (
        <div key={course} class="tiles">
          <h2>{course}</h2>
          <ul>
            {book
              .filter((dish) => dish.course === course)
              .map((dish) => (
                <li key={dish.dish}>
                  <Tile
                    dish={dish}
                    count={desk.draft.value.lines.reduce(
                      (sum, line) => sum + (line.dish === dish.dish ? line.qty : 0),
                      0,
                    )}
                    faint={typing && !found.includes(dish)}
                    chosen={dish === chosen}
                    off={off(dish)}
                    put={() => put(dish)}
                  />
                </li>
              ))}
          </ul>
        </div>
      ))}
    </section>
  );
}

interface TileProps {
  dish: BookDish;
  count: number;
  faint: boolean;
  chosen: boolean;
  off: string;
  put: () => void;
}

function Tile({ dish, count, faint, chosen, off, put }: TileProps) {
  const [first, ...rest] = dish.name.split(', ');
  return (
    <button
      type="button"
      class={`tile${faint ? ' faint' : ''}${chosen ? ' chosen' : ''}${off === '' ? '' : ' off'}`}
      aria-disabled={off !== ''}
      onClick={put}
    >
      <span class="name">
        <b>
          <span class="unseen">{say('order.add', { dish: '' })}</span>
          {first}
        </b>{' '}
        {off === '' ? (
          <small>{rest.join(', ')}</small>
        ) : (
          <small class="off-words">{off === dish.name ? say('order.off_all') : say('order.off', { what: off })}</small>
        )}
      </span>
      {count > 0 && (
        <b class="count figures">
          {count}
          <span class="unseen"> {say('order.on_order')}</span>
        </b>
      )}
    </button>
  );
}

function offSays(dish: BookDish, what: string): string {
  return what === dish.name
    ? say('order.off_all_says', { dish: short(dish) })
    : say('order.off_says', { dish: short(dish), what });
}

/** The dish as a kitchen calls it: its name up to the first comma. */
export function short(dish: BookDish): string {
  return dish.name.split(', ')[0] ?? dish.name;
}
