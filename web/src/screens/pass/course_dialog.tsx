import { useEffect, useRef, useState } from 'preact/hooks';
import { loadsOf } from '../../board/course';
import { ask } from '../../board/doing';
import { kitchen } from '../../board/kitchen';
import { minutes, seconds, timeOfDay, timeWithSeconds } from '../../clock/say_time';
import type { CourseView } from '../../wire/messages';
import { say } from '../../words/say';
import { CoreTemp } from './core_temp';
import { Moving } from './moving';
import { Chain, WhatIf } from './why_then';

/** What can be done with one course, and why it lands when it does. The chef decides, so nothing here argues. */
export function CourseDialog({ course, onClose }: { course: CourseView; onClose: () => void }) {
  const dialog = useRef<HTMLDialogElement>(null);
  const [choosing, choose] = useState(false);
  useEffect(() => dialog.current?.showModal(), []);
  const loads = loadsOf(course.notes);
  const stations = kitchen.value?.stations ?? [];
  const { table, course: name } = course;
  const hold = () => {
    void ask({ kind: 'hold_course', course_id: course.id }, say('pass.did.hold', { table, course: name }));
    onClose();
  };
  const again = (load: string, component: string) => {
    void ask({ kind: 'cook_again', load }, say('pass.did.again', { table, component }));
    onClose();
  };
  return (
    // biome-ignore lint/a11y/useKeyWithClickEvents: Escape closes a dialog by itself
    <dialog
      ref={dialog}
      class="course-dialog"
      onClose={onClose}
      onClick={(event) => event.target === dialog.current && onClose()}
      aria-label={say('pass.open', { table, course: name })}
    >
      <div class="dialog-body">
        <header>
          <h2>
            {say('Table', { table })} · {name}
          </h2>
          <button type="button" onClick={onClose}>
            {say('close')}
          </button>
        </header>
        <ul class="dialog-dishes">
          {course.dishes.map((dish) => (
            <li key={dish.dish + dish.seat + dish.note}>
              {dish.qty} {dish.name}
              {dish.seat !== '' && ` · ${dish.seat}`}
              {dish.note !== '' && ` (${dish.note})`}
              {dish.allergies.map((words) => (
                <strong key={words} class="allergy">
                  {words}
                </strong>
              ))}
            </li>
          ))}
        </ul>
        {course.checks.length > 0 && (
          <section>
            <h3>{say('pass.all_there')}</h3>
            <ul>
              {course.checks.map((line) => (
                <li key={line.words} class="figures">
                  {line.kind === 'core_temp' ? (
                    <CoreTemp course={course} line={line} />
                  ) : (
                    <span class={line.kind === 'allergy' ? 'allergy' : ''}>{line.words}</span>
                  )}
                </li>
              ))}
            </ul>
          </section>
        )}
        <Why course={course} />
        {!course.at_pass && <WhatIf course={course} />}
        {choosing ? (
          <section>
            <p>{say('pass.cook_again_says')}</p>
            <ul class="again">
              {loads.map((load) => (
                <li key={load.load_id}>
                  <button type="button" disabled={!load.begun} onClick={() => again(load.load_id, load.component)}>
                    {say('pass.cook_again_load', { n: load.portions, component: load.component })}
                    <small>{stations.find((station) => station.id === load.station)?.name ?? load.station}</small>
                  </button>
                </li>
              ))}
            </ul>
          </section>
        ) : (
          <section class="acts">
            {!course.at_pass && (
              <button type="button" onClick={hold}>
                <b>{say('pass.hold')}</b>
                <small>{say('pass.hold_says')}</small>
              </button>
            )}
            {!course.at_pass && <Moving course={course} onDone={onClose} />}
            <button type="button" disabled={!loads.some((load) => load.begun)} onClick={() => choose(true)}>
              <b>{say('pass.cook_again')}</b>
              <small>{say('pass.cook_again_says')}</small>
            </button>
          </section>
        )}
      </div>
    </dialog>
  );
}

function Why({ course }: { course: CourseView }) {
  const longest = loadsOf(course.notes)[0];
  const time = timeOfDay(course.landing_at);
  return (
    <section class="why">
      <h3>{say('pass.why')}</h3>
      <p class="figures">
        {course.late_s > 0
          ? say('pass.why_behind', { wanted: timeWithSeconds(course.target_at), by: minutes(course.late_s) })
          : say('pass.why_wanted', { time })}
      </p>
      {course.late_s > 0 && <Chain course={course} />}
      {longest && (
        <p class="figures">
          {say('pass.why_longest', {
            component: longest.component,
            begin: timeOfDay(longest.begin_s * 1000),
            ready: timeOfDay(longest.ready_s * 1000),
          })}
        </p>
      )}
      {course.spread_s !== null && <p class="figures">{say('pass.why_spread', { n: course.spread_s })}</p>}
      {seconds(course.up_at) > seconds(course.landing_at) && (
        <p class="figures">{say('pass.why_up', { time: timeOfDay(course.up_at) })}</p>
      )}
    </section>
  );
}
