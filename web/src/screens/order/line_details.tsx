import { useState } from 'preact/hooks';
import { FOURTEEN } from '../../board/allergens';
import type { BookDish } from '../../wire/messages';
import { list, say } from '../../words/say';
import type { OrderDesk } from './desk';
import { change, type Line, setApart, turnAllergy } from './order_model';

interface LineDetailsProps {
  desk: OrderDesk;
  line: Line;
  dish: BookDish | undefined;
  name: string;
  open: (id: number) => void;
}

/** Allergies, seat and note of one line; one of several plates can be set apart for them. */
export function LineDetails({ desk, line, dish, name, open }: LineDetailsProps) {
  const [other, setOther] = useState('');
  const own = line.allergies.filter((one) => !(FOURTEEN as readonly string[]).includes(one));
  const turn = (allergy: string) => desk.change((draft) => turnAllergy(draft, line.id, allergy));
  const putOther = () => {
    if (other.trim() !== '') turn(other);
    setOther('');
  };
  const apart = () => {
    const { draft, id } = setApart(desk.draft.peek(), line.id);
    desk.change(() => draft);
    open(id);
  };
  return (
    <div class="line-details">
      <p class="for">
        {say('order.for_all', { n: line.qty })}
        {line.qty > 1 && (
          <button type="button" onClick={apart}>
            {say('order.set_apart')}
          </button>
        )}
        {dish !== undefined && dish.allergens.length > 0 && (
          <small class="quiet">{say('order.lists', { allergens: list(dish.allergens) })}</small>
        )}
      </p>
      <fieldset class="fourteen">
        <legend class="unseen">{say('order.allergies_of', { dish: name })}</legend>
        {[...FOURTEEN, ...own].map((allergy) => (
          <button
            key={allergy}
            type="button"
            aria-pressed={line.allergies.includes(allergy)}
            onClick={() => turn(allergy)}
          >
            {allergy}
          </button>
        ))}
      </fieldset>
      <div class="fields">
        <label>
          {say('order.other_allergy')}
          <span class="with-button">
            <input
              value={other}
              maxLength={40}
              autoComplete="off"
              onInput={(event) => setOther(event.currentTarget.value)}
              onKeyDown={(event) => {
                if (event.key !== 'Enter') return;
                event.preventDefault();
                putOther();
              }}
              onBlur={putOther}
            />
            <button type="button" onClick={putOther}>
              {say('order.put_on')}
            </button>
          </span>
        </label>
        <label class="narrow">
          {say('order.seat')}
          <input
            value={line.seat}
            maxLength={20}
            autoComplete="off"
            onInput={(event) => {
              const seat = event.currentTarget.value;
              desk.change((draft) => change(draft, line.id, { seat }));
            }}
          />
        </label>
        <label>
          {say('order.note')}
          <input
            value={line.note}
            maxLength={120}
            autoComplete="off"
            onInput={(event) => {
              const note = event.currentTarget.value;
              desk.change((draft) => change(draft, line.id, { note }));
            }}
          />
        </label>
      </div>
    </div>
  );
}
