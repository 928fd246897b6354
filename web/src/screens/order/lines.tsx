import { useState } from 'preact/hooks';
import type { BookDish } from '../../wire/messages';
import { list, say } from '../../words/say';
import type { OrderDesk } from './desk';
import { short } from './dishes';
import type { Placed } from './faults';
import { LandingChoice } from './landing_choice';
import { LineDetails } from './line_details';
import { change, clashes, courseNames, type Line } from './order_model';

interface LinesProps {
  desk: OrderDesk;
  book: readonly BookDish[];
  placed: Placed;
}

/** What is on the order, course by course, with how each course lands. */
export function Lines({ desk, book, placed }: LinesProps) {
  const draft = desk.draft.value;
  const [opened, open] = useState<number | null>(null);
  const courses = courseNames(draft, book);
  return (
    <section class="lines" aria-label={say('order.lines')}>
      {courses.length === 0 && <p class="quiet">{say('order.nothing_yet')}</p>}
      {courses.map((course) => (
        <div key={course} class="course">
          <div class="course-head">
            <h3>{course}</h3>
            <LandingChoice desk={desk} book={book} course={course} />
          </div>
          <Faults of={placed.courses.get(course)} />
          <ul>
            {draft.lines
              .filter((line) => line.course === course)
              .map((line) => (
                <li key={line.id}>
                  <OneLine
                    desk={desk}
                    line={line}
                    dish={book.find((one) => one.dish === line.dish)}
                    opened={opened === line.id}
                    open={(id) => open(id)}
                  />
                  <Faults of={placed.lines.get(line.id)} />
                </li>
              ))}
          </ul>
        </div>
      ))}
    </section>
  );
}

export function Faults({ of }: { of: readonly string[] | undefined }) {
  if (of === undefined || of.length === 0) return null;
  return (
    <div class="faults" role="alert">
      {of.map((words) => (
        <p key={words}>{words}</p>
      ))}
    </div>
  );
}

interface OneLineProps {
  desk: OrderDesk;
  line: Line;
  dish: BookDish | undefined;
  opened: boolean;
  open: (id: number | null) => void;
}

function OneLine({ desk, line, dish, opened, open }: OneLineProps) {
  const name = dish === undefined ? line.dish : short(dish);
  const count = (qty: number) => desk.change((draft) => change(draft, line.id, { qty }));
  const press = (event: KeyboardEvent) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (/^[1-9]$/.test(event.key)) count(Number(event.key));
    else if (event.key === '+') count(line.qty + 1);
    else if (event.key === '-') count(line.qty - 1);
    else if (event.key === 'Delete') count(0);
    else return;
    event.preventDefault();
  };
  const listed = clashes(line, dish);
  return (
    <div class={opened ? 'line opened' : 'line'}>
      {/* biome-ignore lint/a11y/noStaticElementInteractions: the keys belong to the buttons inside */}
      <div class="line-head" onKeyDown={press}>
        <button
          type="button"
          class="step"
          aria-label={say('order.one_less', { dish: name })}
          onClick={() => count(line.qty - 1)}
        >
          −
        </button>
        <b class="qty figures">{line.qty}</b>
        <button
          type="button"
          class="step"
          aria-label={say('order.one_more', { dish: name })}
          onClick={() => count(line.qty + 1)}
        >
          +
        </button>
        <span class="name">
          <b>{name}</b>
          <small>
            {[line.seat === '' ? '' : say('order.seat_said', { seat: line.seat }), line.note]
              .filter(Boolean)
              .join(' · ')}
          </small>
        </span>
        <button
          type="button"
          class="details-button"
          aria-expanded={opened}
          aria-label={say('order.details_of', { dish: name })}
          onClick={() => open(opened ? null : line.id)}
        >
          {opened ? say('order.details_less') : say('order.details')}
        </button>
      </div>
      {line.allergies.length > 0 && (
        <p class="allergy wide">
          {[
            line.allergies.map((one) => one.toUpperCase()).join(', '),
            line.seat === '' ? '' : say('order.seat_said', { seat: line.seat }),
          ]
            .filter(Boolean)
            .join(' · ')}
          {listed.length > 0 && <span> – {say('order.clash', { dish: name, allergies: list(listed) })}</span>}
        </p>
      )}
      {opened && <LineDetails desk={desk} line={line} dish={dish} name={name} open={open} />}
    </div>
  );
}
