import { useEffect, useState } from 'preact/hooks';
import { type Answered, askAlone } from '../../board/asking';
import { shortName } from '../../board/course';
import { book, kitchen, loadBook } from '../../board/kitchen';
import { theme, turnTheme } from '../../board/theme';
import type { BookDish, Quote } from '../../wire/messages';
import { list, say } from '../../words/say';
import { bookCourses } from '../order/order_model';
import { Alone } from './alone';
import './book.css';

/** `/book`: each dish alone, its own score and its parts. */
export default function BookPage() {
  const dishes = book.value;
  const [chosen, choose] = useState(() => location.hash.slice(1));
  useEffect(() => {
    document.title = say('book.title');
    void loadBook();
  }, []);
  if (dishes === null || kitchen.value === null) return <p class="opening">{say('loading')}</p>;
  const dish = dishes.find((one) => one.dish === chosen) ?? dishes[0];
  const open = (one: BookDish) => {
    choose(one.dish);
    history.replaceState(null, '', `#${one.dish}`);
  };
  return (
    <main class="book">
      <header>
        <h1>{say('book.heading')}</h1>
        <p class="quiet">{kitchen.value.name}</p>
        <button type="button" onClick={turnTheme}>
          {say(theme.value === 'dark' ? 'theme.light' : 'theme.dark')}
        </button>
      </header>
      <nav aria-label={say('sheet.dishes')}>
        {bookCourses(dishes).map((course) => (
          <div key={course}>
            <h2>{course}</h2>
            <ul>
              {dishes
                .filter((one) => one.course === course)
                .map((one) => (
                  <li key={one.dish}>
                    <button
                      type="button"
                      aria-current={one.dish === dish?.dish ? 'true' : undefined}
                      onClick={() => open(one)}
                    >
                      {shortName(one.name)}
                    </button>
                  </li>
                ))}
            </ul>
          </div>
        ))}
      </nav>
      {dish !== undefined && <Dish key={dish.dish} dish={dish} />}
    </main>
  );
}

const MOST = 12;

function Dish({ dish }: { dish: BookDish }) {
  const [plates, set] = useState(1);
  const [found, answer] = useState<Answered<Quote>>({ kind: 'waiting' });
  useEffect(() => {
    const stop = new AbortController();
    void askAlone(dish.dish, plates, stop.signal).then((is) => !stop.signal.aborted && answer(is));
    return () => stop.abort();
  }, [dish.dish, plates]);
  const stations = kitchen.value?.stations ?? [];
  return (
    <article class="dish">
      <h2>{dish.name}</h2>
      {dish.off !== '' && (
        <p>
          <strong>{say('book.off', { what: dish.off })}</strong>
        </p>
      )}
      <p>
        {dish.allergens.length > 0
          ? say('book.allergens', { allergens: list(dish.allergens) })
          : say('book.no_allergens')}
      </p>
      <div class="plates-wanted">
        <span>{say('book.plates')}</span>
        <button type="button" aria-label={say('book.fewer')} disabled={plates <= 1} onClick={() => set(plates - 1)}>
          −
        </button>
        <b class="figures">{plates}</b>
        <button type="button" aria-label={say('book.more')} disabled={plates >= MOST} onClick={() => set(plates + 1)}>
          +
        </button>
      </div>
      {found.kind === 'waiting' && <p class="quiet">{say('pass.working_out')}</p>}
      {found.kind === 'no' && <p>{say('pass.not_said')}</p>}
      {found.kind === 'yes' && <Alone dish={dish} quote={found.is} stations={stations} />}
      <p class="quiet">{say('book.says')}</p>
      <p class="quiet">{say('book.to_edit')}</p>
    </article>
  );
}
