import { useEffect, useMemo } from 'preact/hooks';
import { shortName } from '../../board/course';
import { book, loadBook } from '../../board/kitchen';
import type { PassBoard } from '../../wire/messages';
import { say } from '../../words/say';
import { DishOff, PartOff } from './part_off';
import { Sheet } from './sheet';

/** One line: what is off, what is short tonight, and how many of each part are still to be cooked. A touch opens it. */
export function AllDay({ board, open }: { board: PassBoard; open: () => void }) {
  const { all_day, off, short } = board;
  return useMemo(() => <Line all_day={all_day} off={off} short={short} open={open} />, [all_day, off, short, open]);
}

type LineProps = Pick<PassBoard, 'all_day' | 'off' | 'short'> & { open: () => void };

function Line({ all_day, off, short, open }: LineProps) {
  return (
    <button type="button" class="tonight figures" aria-haspopup="dialog" onClick={open}>
      {off.length > 0 && (
        <span class="tonight-off">
          <b>{say('sheet.off')}</b> {off.map((one) => shortName(one.name)).join(', ')}
        </span>
      )}
      {short.map((one) => (
        <span key={one.kind + one.id} class="tonight-off">
          <b>{one.name}</b> {say('sheet.has_of', { has: one.has, of: one.of })}
        </span>
      ))}
      <span class="quiet">{say('pass.all_day')}</span>
      {all_day.length === 0 && <span class="quiet">{say('pass.all_day_none')}</span>}
      {all_day.map(([part, portions]) => (
        <span key={part} class="count-of">
          <b>{portions}</b> {part}
        </span>
      ))}
    </button>
  );
}

/** Portions still to be cooked, and what there is none left of: a part in whatever dish, or a whole dish. */
export function AllDaySheet({ board, onClose }: { board: PassBoard; onClose: () => void }) {
  useEffect(() => void loadBook(), []);
  const off = (component: string) => board.off.some((one) => one.component === component);
  const gone = board.off.filter(
    (one) => one.component !== null && !board.all_day.some(([part]) => part === one.component),
  );
  return (
    <Sheet title={say('pass.all_day')} label={say('pass.all_day')} wide onClose={onClose}>
      <div class="two-columns">
        <section>
          <h3>{say('pass.all_day_says')}</h3>
          {board.all_day.length === 0 && <p class="quiet">{say('pass.all_day_none')}</p>}
          <ul class="off-lines figures">
            {board.all_day.map(([part, portions]) => (
              <li key={part}>
                <span>
                  <b class="portions">{portions}</b> {part}
                </span>
                <PartOff part={part} off={off(part)} />
              </li>
            ))}
            {gone.map((one) => (
              <li key={one.name}>
                <span>{one.name}</span>
                <PartOff part={one.component ?? ''} off />
              </li>
            ))}
          </ul>
        </section>
        <section>
          <h3>{say('sheet.dishes')}</h3>
          <ul class="off-lines">
            {(book.value ?? []).map((dish) => (
              <li key={dish.dish}>
                <span>{shortName(dish.name)}</span>
                <DishOff
                  dish={dish.dish}
                  name={shortName(dish.name)}
                  off={board.off.some((one) => one.dish === dish.dish)}
                />
              </li>
            ))}
          </ul>
        </section>
      </div>
    </Sheet>
  );
}
