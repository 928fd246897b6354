import { useState } from 'preact/hooks';
import { colourOf } from '../../board/colours';
import { kitchen } from '../../board/kitchen';
import { beat } from '../../clock/frames';
import { tick } from '../../clock/kitchen_clock';
import { minutes, seconds, timeOfDay } from '../../clock/say_time';
import { Score } from '../../parts/score';
import type { CourseView, Quote } from '../../wire/messages';
import { say } from '../../words/say';
import type { OrderDesk } from './desk';
import { type FiringRow, firingList } from './firing_list';
import type { Quoter } from './quoter';

/** What the order would get: landings, whom it delays, what to look at, and the firing sequence as score and as list. */
export function QuotePanel({ desk, quoter, held }: { desk: OrderDesk; quoter: Quoter; held: readonly string[] }) {
  const quoted = quoter.quoted.value;
  const asking = quoter.asking.value;
  return (
    <section class="quote" aria-label={say('order.quote')} aria-busy={asking}>
      <h2>
        {say('order.quote')} {asking && <small class="quiet">{say('order.asking')}</small>}
      </h2>
      {quoted.kind === 'nothing' && <p class="quiet">{say('order.quote_empty')}</p>}
      {quoted.kind === 'unreachable' && <p class="loud">{say('unreachable')}</p>}
      {quoted.kind === 'problem' && quoted.problem.faults.length === 0 && <p class="loud">{quoted.problem.detail}</p>}
      {quoted.kind === 'answer' && desk.draft.value.lines.length > 0 && (
        <div class={asking ? 'stale' : ''}>
          <Answer quote={quoted.quote} />
        </div>
      )}
      {held.map((course) => (
        <p key={course} class="quiet">
          {say('order.course_held', { course })}
        </p>
      ))}
    </section>
  );
}

function Answer({ quote }: { quote: Quote }) {
  return (
    <>
      {quote.cannot.map((one) => (
        <div key={one.id} class="cannot" role="alert">
          <h3>{say('order.cannot')}</h3>
          <p>
            <b>{one.why}</b>
          </p>
          <p>{one.would_help}</p>
        </div>
      ))}
      {quote.courses.map((course) => (
        <Promised key={course.id} course={course} />
      ))}
      {quote.courses.length > 0 && <Delays quote={quote} />}
      {quote.warnings.length > 0 && (
        <div class="warnings">
          <h3>{say('order.warnings')}</h3>
          <ul>
            {quote.warnings.map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
        </div>
      )}
      {quote.courses.length > 0 && <Firing quote={quote} />}
    </>
  );
}

function Promised({ course }: { course: CourseView }) {
  const in_s = Math.max(0, seconds(course.landing_at) - tick.value);
  return (
    <div class="promised">
      <p class="lands">
        <span>{say('order.course_lands', { course: course.course })}</span>
        <b class="figures">{timeOfDay(course.landing_at)}</b>
        <span class="figures">{say('order.in', { time: minutes(in_s) })}</span>
      </p>
      {course.promised_at !== null && course.lands_from !== null && course.lands_to !== null && (
        <p class="range figures">
          {say('order.promise', { time: timeOfDay(course.promised_at) })}{' '}
          <small>{say('order.range', { from: timeOfDay(course.lands_from), to: timeOfDay(course.lands_to) })}</small>
        </p>
      )}
      {course.late_s > 0 && (
        <p class="cause">
          <b class="figures">{say('behind', { by: minutes(course.late_s) })}</b>
          {course.cause === '' ? '' : ` · ${course.cause}`}
        </p>
      )}
    </div>
  );
}

function Delays({ quote }: { quote: Quote }) {
  if (quote.delays.length === 0) return <p class="delays">{say('order.delays_nobody')}</p>;
  return (
    <div class="delays">
      <h3>{say('order.delays_title')}</h3>
      <ul>
        {quote.delays.map((delay) => (
          <li key={`${delay.table}/${delay.course}`} class="figures">
            {say('order.delays', { table: delay.table, course: delay.course, by: minutes(delay.by_s) })}
            {delay.why !== '' && <small> {delay.why}</small>}
          </li>
        ))}
      </ul>
    </div>
  );
}

function Firing({ quote }: { quote: Quote }) {
  const [by, turn] = useState<'time' | 'station'>('time');
  const stations = kitchen.value?.stations ?? [];
  const now_s = beat.value;
  const last_s = Math.max(...quote.courses.map((course) => seconds(course.landing_at)));
  const nameOf = (id: string) => stations.find((one) => one.id === id)?.name ?? id;
  const groups = firingList(
    quote,
    by,
    stations.map((one) => one.id),
  );
  return (
    <div class="firing">
      <h3>{say('order.firing')}</h3>
      {quote.courses.map((course) => (
        <div key={course.id} class="score-box" style={{ height: `${52 + 25 * loads(course)}px` }}>
          <Score
            notes={course.notes}
            direction="right"
            windowS={Math.max(300, (last_s - now_s) * 1.12 + 60)}
            pastS={0}
            landings={[{ at: course.landing_at, words: say('order.score_lands', { course: course.course }) }]}
            axis
            label={say('order.score', { course: course.course, table: course.table })}
          />
        </div>
      ))}
      <fieldset class="by">
        <legend class="unseen">{say('order.firing')}</legend>
        <button type="button" aria-pressed={by === 'time'} onClick={() => turn('time')}>
          {say('order.by_time')}
        </button>
        <button type="button" aria-pressed={by === 'station'} onClick={() => turn('station')}>
          {say('order.by_station')}
        </button>
      </fieldset>
      {groups.map((group) => (
        <div key={group.name} class="group">
          <h4>
            {by === 'station' && <Mark station={group.name} />}
            {by === 'station' ? nameOf(group.name) : group.name}
          </h4>
          <ol>
            {group.rows.map((row) => (
              <li key={`${row.at} ${row.component} ${row.do} ${row.course}`}>
                <b class="figures to">{sign(row)}</b>
                {by === 'time' && (
                  <span class="station-name">
                    <Mark station={row.station} />
                    {nameOf(row.station)}
                  </span>
                )}
                <span class="what">
                  {row.do} · {row.component} <b class="figures">×{row.portions}</b>
                </span>
                <span class="quiet figures">{timeOfDay(row.at)}</span>
              </li>
            ))}
          </ol>
        </div>
      ))}
    </div>
  );
}

/** A station's colour beside its name; the name says it, the colour finds it. */
function Mark({ station }: { station: string }) {
  return <i class="mark" style={{ background: colourOf(station, kitchen.value?.stations ?? []).fill }} />;
}

function loads(course: CourseView): number {
  return new Set(course.notes.map((note) => note.load_id)).size;
}

function sign(row: FiringRow): string {
  return `${row.to_landing_s <= 0 ? '−' : '+'}${minutes(row.to_landing_s)}`;
}
