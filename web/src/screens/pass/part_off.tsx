import { acts, label } from '../../actions/registry';
import { ask } from '../../board/doing';
import { say } from '../../words/say';

/** None left of a part, in whatever dish: eighty-six, and back on. */
export function PartOff({ part, off }: { part: string; off: boolean }) {
  const what = part;
  const act = off ? acts.partOn : acts.partOff;
  return (
    <button
      type="button"
      aria-label={say(off ? 'sheet.back_on_of' : 'sheet.none_left_of', { what })}
      onClick={() => void ask(act.command(part), say(off ? 'did.back_on' : 'did.none_left', { what }))}
    >
      {label(act)}
    </button>
  );
}

/** The same of a whole dish. */
export function DishOff({ dish, name, off }: { dish: string; name: string; off: boolean }) {
  const what = name;
  const act = off ? acts.dishOn : acts.dishOff;
  return (
    <button
      type="button"
      aria-label={say(off ? 'sheet.back_on_of' : 'sheet.none_left_of', { what })}
      onClick={() => void ask(act.command(dish), say(off ? 'did.back_on' : 'did.none_left', { what }))}
    >
      {label(act)}
    </button>
  );
}
