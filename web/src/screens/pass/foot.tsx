import { acts, label } from '../../actions/registry';
import { colourOf } from '../../board/colours';
import { atTable } from '../../board/course';
import { ask } from '../../board/doing';
import { kitchen } from '../../board/kitchen';
import { theme, turnTheme } from '../../board/theme';
import { minutes, timeOfDay } from '../../clock/say_time';
import { NoteSample } from '../../parts/score/sample';
import type { HeldView, NoteState, PassBoard, SentView } from '../../wire/messages';
import { say } from '../../words/say';
import { AllDay } from './all_day';
import { Doing, TakeBack } from './doing';
import { by, turnBy } from './view';

/** Opens the sheet of a course, of a station or of all that is to be cooked. */
export interface Open {
  course: (id: string) => void;
  station: (id: string) => void;
  allDay: () => void;
}

/** Along the foot: what is held and when it would land, what has gone, and what the shapes and colours mean. */
export function Foot({ board, open }: { board: PassBoard; open: Open }) {
  return (
    <footer class="foot">
      <Doing where="foot" />
      <section class="held" aria-label={say('pass.held')}>
        <h2 class="figures">
          {say('pass.held')} {board.held.length > 1 && board.held.length}
        </h2>
        {board.held.length === 0 && <p class="quiet">{say('pass.held_none')}</p>}
        <ul>
          {board.held.map((held) => (
            <Held key={held.id} held={held} open={open.course} />
          ))}
        </ul>
      </section>
      <section class="sent" aria-label={say('pass.sent')}>
        <h2>{say('pass.sent')}</h2>
        {board.sent.length === 0 && <p class="quiet">{say('pass.sent_none')}</p>}
        <ul>
          {board.sent.slice(0, 2).map((sent, at) => (
            <Sent key={sent.id} sent={sent} newest={at === 0} />
          ))}
        </ul>
      </section>
      <AllDay board={board} open={open.allDay} />
      <Legend board={board} open={open} />
    </footer>
  );
}

function Held({ held, open }: { held: HeldView; open: (id: string) => void }) {
  const { table, course } = held;
  const fire = () => void ask({ kind: 'fire_course', course_id: held.id }, say('pass.did.fire', { table, course }));
  return (
    <li>
      <button
        type="button"
        class="open-held"
        aria-haspopup="dialog"
        aria-label={say('pass.open', { table, course })}
        onClick={() => open(held.id)}
      >
        <span class="table-no figures">{table}</span>
      </button>
      <span class="held-what">
        <span class="held-words">
          <span class="quiet">
            {course} · {say('plates', { n: held.plates })}
          </span>
          <span class="figures if-fired">
            {held.waits_for !== ''
              ? held.waits_for
              : held.landing_if_fired === null
                ? say('pass.if_fired_soon')
                : say('pass.if_fired', { time: timeOfDay(held.landing_if_fired) })}
          </span>
        </span>
        {held.allergies.map((allergy) => (
          <strong key={allergy.words + allergy.dish} class="allergy">
            {atTable(allergy)}
          </strong>
        ))}
      </span>
      {held.waits_for === '' && (
        <button
          type="button"
          class="fire"
          aria-label={`${say('act.fire')} ${say('table', { table })}, ${course}`}
          onClick={fire}
        >
          {say('act.fire')}
        </button>
      )}
      {held.away_since !== null && (
        <button
          type="button"
          class="fire"
          aria-label={`${label(acts.back)} ${say('table', { table })}`}
          onClick={() => void ask(acts.back.command(table), say('pass.did.back', { table }))}
        >
          {label(acts.back)}
        </button>
      )}
    </li>
  );
}

/** Up to this spread a table has landed together; a longer one is said in minutes. */
const TOGETHER_S = 60;

function Sent({ sent, newest }: { sent: SentView; newest: boolean }) {
  const facts = [
    sent.spread_s <= TOGETHER_S
      ? say('pass.sent_together', { n: sent.spread_s })
      : say('pass.sent_apart', { time: minutes(sent.spread_s) }),
    sent.late_s > 0 && say('pass.sent_late', { by: minutes(sent.late_s) }),
    sent.past_keeps > 0 && say('pass.sent_past', { n: sent.past_keeps }),
  ].filter((fact): fact is string => fact !== false);
  return (
    <li>
      <span class="figures">
        <b>{say('pass.sent_what', { table: sent.table, course: sent.course })}</b> {facts.join(' · ')}
      </span>
      {newest && <TakeBack seq={sent.seq} />}
    </li>
  );
}

const STATES: readonly (NoteState | 'late')[] = ['planned', 'announced', 'started', 'done', 'late'];

function Legend({ board, open }: { board: PassBoard; open: Open }) {
  const stations = kitchen.value?.stations ?? [];
  return (
    <section class="legend" aria-label={say('pass.legend')}>
      <ul>
        {stations.map((station) => (
          <li key={station.id}>
            <button
              type="button"
              class="open-station"
              aria-haspopup="dialog"
              aria-label={say('sheet.station_open', { station: station.name })}
              onClick={() => open.station(station.id)}
            >
              <span class="swatch" style={{ background: colourOf(station.id, stations).fill }} />
              {station.name}
            </button>
          </li>
        ))}
      </ul>
      <ul>
        {STATES.map((state) => (
          <li key={state}>
            <NoteSample state={state} />
            {say(`pass.state.${state}`)}
          </li>
        ))}
      </ul>
      {board.replanning && <span class="searching">{say('pass.searching')}</span>}
      <div class="foot-end">
        {kitchen.value?.demo && (
          <span>{kitchen.value.speed === 1 ? say('pass.demo') : say('demo', { speed: kitchen.value.speed })}</span>
        )}
        <button type="button" onClick={turnBy}>
          {say(by.value === 'table' ? 'pass.by_station' : 'pass.by_table')}
        </button>
        <button type="button" onClick={turnTheme}>
          {say(theme.value === 'dark' ? 'theme.light' : 'theme.dark')}
        </button>
      </div>
    </section>
  );
}
