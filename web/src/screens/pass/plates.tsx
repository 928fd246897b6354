import { useEffect, useState } from 'preact/hooks';
import { acts, label } from '../../actions/registry';
import { shortName } from '../../board/course';
import { ask } from '../../board/doing';
import { book, loadBook } from '../../board/kitchen';
import type { DishView, PlateAsked } from '../../wire/messages';
import { say } from '../../words/say';
import type { Opened } from './opened';

const plateOf = (dish: DishView): PlateAsked => ({
  dish: dish.dish,
  qty: 1,
  note: dish.note,
  seat: dish.seat,
  allergies: [...dish.allergies],
});

/** Plates of a course added, changed and taken off, also while it cooks. */
export function Plates({ course, onDone }: { course: Opened; onDone: () => void }) {
  const [changing, change] = useState<DishView | null>(null);
  useEffect(() => void loadBook(), []);
  const { id, table, course: name } = course;
  const at = { table, course: name };
  const oneOff = (dish: DishView) =>
    void ask(acts.oneOff.command(id, plateOf(dish)), say('did.one_off', { ...at, dish: shortName(dish.name) }));
  if (changing !== null) {
    const to = (plate: PlateAsked) => {
      void ask(acts.change.command(id, plateOf(changing), plate), say('did.change', at));
      change(null);
    };
    return (
      <section key="change">
        <h3>{say('sheet.change_to', { dish: shortName(changing.name) })}</h3>
        <PlateForm key="change" from={plateOf(changing)} submit={label(acts.change)} onPlate={to} />
      </section>
    );
  }
  return (
    <>
      <ul class="plate-lines">
        {course.dishes.map((dish) => (
          <li key={dish.dish + dish.seat + dish.note + dish.allergies.join()}>
            <PlateWords dish={dish} />
            <button
              type="button"
              aria-label={say('sheet.one_off_of', { dish: shortName(dish.name) })}
              onClick={() => oneOff(dish)}
            >
              {label(acts.oneOff)}
            </button>
            <button
              type="button"
              aria-label={say('sheet.change_of', { dish: shortName(dish.name) })}
              onClick={() => change(dish)}
            >
              {label(acts.change)}
            </button>
          </li>
        ))}
      </ul>
      <section key="add">
        <h3>{say('sheet.add_one')}</h3>
        <PlateForm
          key="add"
          asks
          submit={label(acts.add)}
          onPlate={(plate) => {
            const dish = book.value?.find((one) => one.dish === plate.dish)?.name ?? plate.dish;
            void ask(acts.add.command(id, plate, true), say('did.add', { ...at, dish: shortName(dish) }));
          }}
        />
      </section>
      <p class="quiet">{say('sheet.plates_spare')}</p>
      <button
        type="button"
        class="course-off"
        onClick={() => {
          void ask(acts.courseOff.command(id), say('did.course_off', at));
          onDone();
        }}
      >
        {label(acts.courseOff)}
      </button>
    </>
  );
}

export function PlateWords({ dish }: { dish: DishView }) {
  return (
    <span class="plate-words">
      <b class="figures">{dish.qty}</b> {dish.name}
      {dish.seat !== '' && ` · ${say('order.seat_said', { seat: dish.seat })}`}
      {dish.note !== '' && ` (${dish.note})`}
      {dish.allergies.map((words) => (
        <strong key={words} class="allergy">
          {words.toUpperCase()}
        </strong>
      ))}
    </span>
  );
}

interface PlateFormProps {
  from?: PlateAsked;
  /** Whether it has to be said that allergies were asked for: of a plate that nobody has ordered yet. */
  asks?: boolean;
  submit: string;
  onPlate: (plate: PlateAsked) => void;
}

/** One plate: its dish, seat, note and allergies. */
function PlateForm({ from, asks = false, submit, onPlate }: PlateFormProps) {
  const dishes = book.value ?? [];
  const [dish, setDish] = useState(from?.dish ?? '');
  const [seat, setSeat] = useState(from?.seat ?? '');
  const [note, setNote] = useState(from?.note ?? '');
  const [allergies, setAllergies] = useState((from?.allergies ?? []).join(', '));
  const [asked, setAsked] = useState(!asks);
  const fine = dish !== '' && asked;
  const words = allergies
    .split(',')
    .map((word) => word.trim())
    .filter(Boolean);
  return (
    <form
      class="plate-form"
      onSubmit={(event) => {
        event.preventDefault();
        if (!fine) return;
        onPlate({ dish, qty: 1, seat, note, allergies: words });
        if (from !== undefined) return;
        setDish('');
        setSeat('');
        setNote('');
        setAllergies('');
        setAsked(false);
      }}
    >
      <label>
        {say('sheet.dish')}
        <select value={dish} onChange={(event) => setDish(event.currentTarget.value)}>
          {from === undefined && <option value="">–</option>}
          {dishes.map((one) => (
            <option key={one.dish} value={one.dish} disabled={one.off !== '' && one.dish !== from?.dish}>
              {shortName(one.name)}
              {one.off !== '' && ` · ${say('order.off', { what: one.off })}`}
            </option>
          ))}
        </select>
      </label>
      <label class="narrow">
        {say('sheet.seat')}
        <input value={seat} maxLength={20} onInput={(event) => setSeat(event.currentTarget.value)} />
      </label>
      <label>
        {say('sheet.note')}
        <input value={note} maxLength={120} onInput={(event) => setNote(event.currentTarget.value)} />
      </label>
      <label>
        {say('sheet.allergies')}
        <input
          value={allergies}
          placeholder={say('sheet.allergies_hint')}
          autoComplete="off"
          autoCapitalize="off"
          onInput={(event) => setAllergies(event.currentTarget.value)}
        />
      </label>
      {asks && (
        <label class="tick">
          <input type="checkbox" checked={asked} onChange={(event) => setAsked(event.currentTarget.checked)} />
          {say('sheet.asked')}
        </label>
      )}
      <button type="submit" disabled={!fine}>
        {submit}
      </button>
    </form>
  );
}
