import { dishLine, laneCount } from '../../board/course';
import { tick } from '../../clock/kitchen_clock';
import { countdown, minutes, seconds, timeOfDay } from '../../clock/say_time';
import { Score } from '../../parts/score';
import type { CourseView } from '../../wire/messages';
import { say } from '../../words/say';
import { Allergies } from './allergies';
import { Check } from './check';
import { useStacked } from './stacked';

/** Seconds of lateness from which it is said: what is less, nobody at a table notices and nobody can act on. */
const WORTH_SAYING_S = 15;

interface RowProps {
  course: CourseView;
  /** Lands later: in one line, so that what lands soon has the room. */
  far: boolean;
  windowS: number;
  pastS: number;
  onOpen: () => void;
}

/** One course: who it is for, its score, when it lands. */
export function CourseRow({ course, far, windowS, pastS, onOpen }: RowProps) {
  const stacked = useStacked();
  const lanes = laneCount(course);
  const lands = timeOfDay(course.landing_at);
  const label = say('pass.score_of', { table: course.table, course: course.course, time: lands });
  return (
    <article
      data-course={course.id}
      class={`row${far ? ' far' : ''}${course.at_pass ? ' at-pass' : ''}`}
      style={{ flexGrow: course.at_pass ? 0 : Math.max(3, far ? lanes / 2 : lanes) }}
    >
      <div class="who">
        <button type="button" class="open" aria-haspopup="dialog" onClick={onOpen}>
          <span class="table-no figures">{course.table}</span>
          <span class="what">
            <span class="course-line">
              {course.course} · {say('plates', { n: course.plates })}
            </span>
            <span class="dishes">{course.dishes.map(dishLine).join(' · ')}</span>
          </span>
        </button>
        {!course.at_pass && <Allergies allergies={course.allergies} brief={far} />}
      </div>
      {course.at_pass ? (
        <Check course={course} />
      ) : (
        // biome-ignore lint/a11y/useKeyWithClickEvents: the button beside it does the same from the keyboard
        // biome-ignore lint/a11y/noStaticElementInteractions: a larger target for a finger, nothing more
        <div class="score-cell" style={{ '--lanes': lanes }} onClick={onOpen}>
          <Score
            notes={course.notes}
            windowS={windowS}
            pastS={pastS}
            landings={[{ at: course.landing_at, words: say('pass.stroke', { table: course.table }) }]}
            axis={stacked}
            grid
            label={label}
          />
        </div>
      )}
      <div class="when">
        {course.at_pass ? <Stands course={course} /> : <Lands course={course} />}
        {course.late_s >= WORTH_SAYING_S && (
          <p class="behind">
            <strong class="figures">{say('behind', { by: minutes(course.late_s) })}</strong>
            {course.cause !== '' && !course.at_pass && <span class="cause"> {course.cause}</span>}
          </p>
        )}
      </div>
    </article>
  );
}

function Lands({ course }: { course: CourseView }) {
  const left = countdown(seconds(course.landing_at), tick.value);
  return (
    <>
      <span class="lands figures">{say('lands', { time: timeOfDay(course.landing_at) })}</span>
      <span class="count figures" role="timer">
        {left.over ? say('pass.over', { time: left.text }) : left.text}
      </span>
      {!left.over && course.promised_at !== null && (
        <small class="promise figures">{say('pass.promise', { time: timeOfDay(course.promised_at) })}</small>
      )}
      {!left.over && course.late_s < WORTH_SAYING_S && <p class="on-time">{say('on_time')}</p>}
    </>
  );
}

function Stands({ course }: { course: CourseView }) {
  const stood = countdown(seconds(course.landing_at), tick.value);
  return (
    <>
      <span class="lands figures">{say('pass.landed', { time: timeOfDay(course.landing_at) })}</span>
      <span class="stood figures" role="timer">
        {say('pass.stands', { time: stood.over ? stood.text : '0:00' })}
      </span>
    </>
  );
}
