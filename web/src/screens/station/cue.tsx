import { tick } from '../../clock/kitchen_clock';
import { minutes, timeOfDay } from '../../clock/say_time';
import type { ActionView, AllergyView, NoteView, StationBoard } from '../../wire/messages';
import { list, say } from '../../words/say';
import { cueWords, leftS } from './station_model';

/** The next cue, right where the notes land: what to do, how many, for whom, when; allergies in a block of their own. */
export function Cue({ action, notes }: { action: ActionView; notes: readonly NoteView[] }) {
  const { verb, component } = cueWords(action);
  const tables = say('tables', { n: action.tables.length, tables: list(action.tables) });
  const split = action.per_table.length > 1;
  // Of an end, which step it is the end of: "Done" alone names no work.
  const ends = action.kind === 'finish' ? (notes.find((note) => note.id === action.steps[0])?.do ?? null) : null;
  return (
    <article class="cue">
      <div class="what">
        <h2>
          <span class={verb.length <= 6 ? 'verb short' : 'verb'}>{verb}</span>{' '}
          <span class={component.length > 13 ? 'component long' : 'component'}>
            <b class="figures">{action.portions}</b> {component}
          </span>
        </h2>
        <Countdown action={action} />
      </div>
      <p class="where">
        <b>
          {split
            ? action.per_table.map(([table, n]) => say('station.table_count', { table, count: n })).join(' · ')
            : tables}
        </b>
        <span class="quiet">
          {[ends, action.on, action.kind === 'start' ? say('station.takes', { time: minutes(action.takes_s) }) : null]
            .filter(Boolean)
            .join(' · ')}
        </span>
      </p>
      <Allergies of={action.allergies} />
      {action.core_temp !== null && <p class="said">{say('station.core_temp', { degrees: action.core_temp })}</p>}
      {action.notes.map((words) => (
        <p key={words} class="said">
          {words}
        </p>
      ))}
      {action.moved !== '' && <p class="said">{action.moved}</p>}
      {action.caution !== '' && <p class="caution">{action.caution}</p>}
    </article>
  );
}

/** Dark on light (light on dark in a bright kitchen): an allergy is never part of another line. */
export function Allergies({ of }: { of: readonly AllergyView[] }) {
  if (of.length === 0) return null;
  return (
    <ul class="allergies" aria-label={say('station.allergies')}>
      {of.map((allergy) => (
        <li key={`${allergy.table} ${allergy.dish} ${allergy.words}`}>
          <strong>{allergy.words}</strong>
          {allergy.cross_contact !== '' && <span>{allergy.cross_contact}</span>}
        </li>
      ))}
    </ul>
  );
}

/** Big figures to the due second, and counting up from there: "0:25 late". */
export function Countdown({ action }: { action: ActionView }) {
  const left_s = leftS(action, tick.value);
  return (
    <p class={left_s < 0 ? 'countdown late figures' : 'countdown figures'} role="timer">
      <b>{minutes(left_s)}</b>
      {left_s < 0 && <span> {say('station.late')}</span>}
    </p>
  );
}

/** No action within ten minutes, or none at all: what comes next, if the board knows it. */
export function NothingToDo({ board }: { board: StationBoard }) {
  const now_ms = tick.value * 1000;
  const next = board.notes
    .filter((note) => note.state === 'planned' && Date.parse(note.start_at) > now_ms)
    .sort((a, b) => Date.parse(a.start_at) - Date.parse(b.start_at))[0];
  return (
    <div class="free">
      <h2>{say('station.next_free')}</h2>
      <p>
        {next === undefined
          ? say('station.nothing_within')
          : say('station.next_at', { what: `${next.do} ${next.component_name}`, time: timeOfDay(next.start_at) })}
      </p>
      <p class="quiet">{say('station.next_free_says')}</p>
    </div>
  );
}
