import { useRef, useState } from 'preact/hooks';
import { acts, label } from '../../actions/registry';
import { colourOf } from '../../board/colours';
import { atTable } from '../../board/course';
import { ask, justDone } from '../../board/doing';
import { kitchen } from '../../board/kitchen';
import { theme, turnTheme } from '../../board/theme';
import { minutes, timeOfDay } from '../../clock/say_time';
import { NoteSample } from '../../parts/score/sample';
import type { HeldView, NoteState, PassBoard, SentView } from '../../wire/messages';
import { say } from '../../words/say';

/** Along the foot: what is held and when it would land, what has gone, and what the shapes and colours mean. */
export function Foot({ board }: { board: PassBoard }) {
  return (
    <footer class="foot">
      <Doing />
      <section class="held" aria-label={say('pass.held')}>
        <h2 class="figures">
          {say('pass.held')} {board.held.length > 1 && board.held.length}
        </h2>
        {board.held.length === 0 && <p class="quiet">{say('pass.held_none')}</p>}
        <ul>
          {board.held.map((held) => (
            <Held key={held.id} held={held} />
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
      <Legend board={board} />
    </footer>
  );
}

function Doing() {
  const done = justDone.value;
  return (
    <div class={done ? 'doing shown' : 'doing'} role={done?.refused ? 'alert' : 'status'}>
      {done && <p>{done.refused ? say('refused', { detail: done.words }) : done.words}</p>}
      {done?.seq != null && <TakeBack seq={done.seq} />}
    </div>
  );
}

function TakeBack({ seq }: { seq: number }) {
  return (
    <button type="button" onClick={() => void ask({ kind: 'undo', seq }, say('pass.did.undo'))}>
      {say('pass.take_back')}
    </button>
  );
}

function Held({ held }: { held: HeldView }) {
  const { table, course } = held;
  const fire = () => void ask({ kind: 'fire_course', course_id: held.id }, say('pass.did.fire', { table, course }));
  return (
    <li>
      <span class="table-no figures">{table}</span>
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

function Legend({ board }: { board: PassBoard }) {
  const stations = kitchen.value?.stations ?? [];
  return (
    <section class="legend" aria-label={say('pass.legend')}>
      <ul>
        {stations.map((station) => (
          <li key={station.id}>
            <span class="swatch" style={{ background: colourOf(station.id, stations).fill }} />
            {station.name}
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
        <AllDay board={board} />
        <button type="button" onClick={turnTheme}>
          {say(theme.value === 'dark' ? 'theme.light' : 'theme.dark')}
        </button>
      </div>
    </section>
  );
}

function AllDay({ board }: { board: PassBoard }) {
  const dialog = useRef<HTMLDialogElement>(null);
  const [open, setOpen] = useState(false);
  const show = () => {
    setOpen(true);
    dialog.current?.showModal();
  };
  return (
    <>
      <button type="button" onClick={show}>
        {say('pass.all_day')}
      </button>
      <dialog ref={dialog} class="course-dialog" onClose={() => setOpen(false)} aria-label={say('pass.all_day')}>
        {open && (
          <div class="dialog-body">
            <header>
              <h2>{say('pass.all_day')}</h2>
              <button type="button" onClick={() => dialog.current?.close()}>
                {say('close')}
              </button>
            </header>
            <p class="quiet">{say(board.all_day.length > 0 ? 'pass.all_day_says' : 'pass.all_day_none')}</p>
            <ul class="all-day figures">
              {board.all_day.map(([component, portions]) => (
                <li key={component}>
                  <b>{portions}</b> {component}
                </li>
              ))}
            </ul>
          </div>
        )}
      </dialog>
    </>
  );
}
