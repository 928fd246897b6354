import { tick } from '../../clock/kitchen_clock';
import { minutes } from '../../clock/say_time';
import type { ActionView } from '../../wire/messages';
import { list, say } from '../../words/say';
import type { StationDesk } from './desk';
import { cueWords, leftS } from './station_model';

/** What runs and what follows besides the big one; a touch brings one up into the big place. */
export function Others({ desk }: { desk: StationDesk }) {
  const big = desk.big.value;
  const others = desk.actions.value.filter((action) => action.id !== big?.id);
  if (others.length === 0) return null;
  return (
    <ul class="others" aria-label={say('station.follows')}>
      {others.map((action) => (
        <li key={action.id}>
          <button type="button" onClick={() => desk.raise(action)}>
            <Row action={action} />
          </button>
        </li>
      ))}
    </ul>
  );
}

function Row({ action }: { action: ActionView }) {
  const { verb, component } = cueWords(action);
  const left_s = leftS(action, tick.value);
  return (
    <>
      <b class="figures left">{left_s < 0 ? `+${minutes(left_s)}` : minutes(left_s)}</b>
      <span class="which">
        {verb} <b class="figures">{action.portions}</b> {component}
        <span class="quiet">
          {' '}
          · {say('tables', { n: action.tables.length, tables: list(action.tables) })}
          {action.running ? ` · ${say('station.runs')}` : ''}
        </span>
        {action.allergies.map((allergy) => (
          <strong key={allergy.words} class="allergy">
            {allergy.words}
          </strong>
        ))}
      </span>
    </>
  );
}
