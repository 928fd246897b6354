import { useState } from 'preact/hooks';
import { acts, label } from '../../actions/registry';
import { FOURTEEN } from '../../board/allergens';
import { shortName } from '../../board/course';
import { ask } from '../../board/doing';
import { list, say } from '../../words/say';
import type { Opened } from './opened';

/** Which plates are meant: those of a seat, those of a dish without a seat, or all of the table. */
interface Meant {
  seat: string;
  dish: string;
  words: string;
}

/** An allergy told after the order: on every cue at once; food that it touches and that has started is asked about. */
export function AllergyTold({ course, onDone }: { course: Opened; onDone: () => void }) {
  const [chosen, choose] = useState<readonly string[]>([]);
  const [other, setOther] = useState('');
  const [at, meanAt] = useState(0);
  const all = [...chosen, ...other.split(',').map((word) => word.trim())].filter(Boolean);
  const meant: Meant[] = [{ seat: '', dish: '', words: say('Table', { table: course.table }) }];
  for (const dish of course.dishes) {
    const one = dish.seat === '' ? { seat: '', dish: dish.dish } : { seat: dish.seat, dish: '' };
    const seat = dish.seat === '' ? [] : [say('order.seat_said', { seat: dish.seat })];
    if (meant.some((known) => known.seat === one.seat && known.dish === one.dish)) continue;
    meant.push({ ...one, words: [...seat, shortName(dish.name)].join(' · ') });
  }
  const { seat, dish } = meant[at] ?? { seat: '', dish: '' };
  const turn = (word: string) =>
    choose(chosen.includes(word) ? chosen.filter((one) => one !== word) : [...chosen, word]);
  const tell = () => {
    const { table } = course;
    void ask(acts.tell.command(table, all, seat, dish), say('did.tell', { table, allergies: list(all).toUpperCase() }));
    onDone();
  };
  return (
    <form
      class="told"
      onSubmit={(event) => {
        event.preventDefault();
        if (all.length > 0) tell();
      }}
    >
      <fieldset class="choices">
        <legend>{say('sheet.allergy_which')}</legend>
        {FOURTEEN.map((word) => (
          <button key={word} type="button" aria-pressed={chosen.includes(word)} onClick={() => turn(word)}>
            {word}
          </button>
        ))}
      </fieldset>
      <label>
        {say('sheet.allergy_other')}
        <input
          value={other}
          maxLength={80}
          autoComplete="off"
          autoCapitalize="off"
          onInput={(event) => setOther(event.currentTarget.value)}
        />
      </label>
      <fieldset class="choices">
        <legend>{say('sheet.seat')}</legend>
        {meant.map((one, place) => (
          <button key={one.words} type="button" aria-pressed={place === at} onClick={() => meanAt(place)}>
            {one.words}
          </button>
        ))}
      </fieldset>
      <p class="quiet">{say('sheet.allergy_seat_says')}</p>
      <button type="submit" class="main-act" disabled={all.length === 0}>
        {label(acts.tell)}
      </button>
    </form>
  );
}
