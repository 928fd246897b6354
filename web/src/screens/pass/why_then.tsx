import { useEffect, useState } from 'preact/hooks';
import { type Answered, askWhatIf, askWhy } from '../../board/asking';
import { loadsOf } from '../../board/course';
import { kitchen } from '../../board/kitchen';
import { minutes, seconds, timeOfDay, timeWithSeconds } from '../../clock/say_time';
import type { CourseView, WhatIfAsked, WhatIfView, WhyView } from '../../wire/messages';
import { say } from '../../words/say';
import './pass_why.css';

/** A landing that moves by no more than this is not worth a line. */
const NOTICED_S = 5;

/** Why a course lands when it does: what was wanted, what holds it, which part begins first. */
export function Why({ course }: { course: CourseView }) {
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

/** The chain that holds a course that is behind, back to what began it. */
export function Chain({ course }: { course: CourseView }) {
  const [why, answer] = useState<Answered<WhyView>>({ kind: 'waiting' });
  useEffect(() => {
    const stop = new AbortController();
    void askWhy(course.id, stop.signal).then((found) => !stop.signal.aborted && answer(found));
    return () => stop.abort();
  }, [course.id, course.landing_at]);
  if (why.kind === 'waiting') return <p class="figures">{say('pass.working_out')}</p>;
  if (why.kind === 'no') return course.cause === '' ? null : <p class="figures">{course.cause}.</p>;
  return (
    <ol class="chain" aria-label={say('pass.chain')}>
      {why.is.chain.map((link) => (
        <li key={link.words} class="figures">
          {link.words}.{link.sooner_s > 0 && <small>{say('pass.chain_sooner', { by: minutes(link.sooner_s) })}</small>}
        </li>
      ))}
    </ol>
  );
}

/** What the chef can ask of a course: it goes first, a cook more, a place fewer. Asking changes nothing. */
export function WhatIf({ course }: { course: CourseView }) {
  const [asked, ask] = useState<Partial<WhatIfAsked> | null>(null);
  const [found, answer] = useState<Answered<WhatIfView>>({ kind: 'waiting' });
  useEffect(() => {
    if (asked === null) return;
    const stop = new AbortController();
    answer({ kind: 'waiting' });
    void askWhatIf(asked, stop.signal).then((is) => !stop.signal.aborted && answer(is));
    return () => stop.abort();
  }, [asked]);
  const stations = (kitchen.value?.stations ?? []).filter((each) => course.notes.some((n) => n.station === each.id));
  const equipment = (kitchen.value?.equipment ?? []).filter((each) => course.notes.some((n) => n.on === each.name));
  const choices: [string, Partial<WhatIfAsked>][] = [
    [say('pass.if_first'), { first: [course.id] }],
    ...stations.map((each): [string, Partial<WhatIfAsked>] => [
      say('pass.if_cook', { station: each.name }),
      { cooks: [{ station: each.id, by: 1 }] },
    ]),
    ...equipment.map((each): [string, Partial<WhatIfAsked>] => [
      say('pass.if_slot', { equipment: each.name }),
      { slots: [{ equipment: each.id, by: -1 }] },
    ]),
  ];
  return (
    <section class="what-if">
      <h3>{say('pass.what_if')}</h3>
      <div class="choices">
        {choices.map(([words, supposed]) => (
          <button
            key={words}
            type="button"
            aria-pressed={JSON.stringify(asked) === JSON.stringify(supposed)}
            onClick={() => ask(supposed)}
          >
            {words}
          </button>
        ))}
      </div>
      <div role="status">{asked === null ? <p>{say('pass.what_if_says')}</p> : <Found found={found} />}</div>
    </section>
  );
}

function Found({ found }: { found: Answered<WhatIfView> }) {
  if (found.kind !== 'yes') return <p>{say(found.kind === 'waiting' ? 'pass.working_out' : 'pass.not_said')}</p>;
  const moved = found.is.courses.filter((each) => each.would_land_at !== null && Math.abs(each.by_s) > NOTICED_S);
  return (
    <>
      <p class="figures">
        <b>{found.is.words}</b>
      </p>
      <ul>
        {moved.map((each) => (
          <li key={each.id} class="figures">
            {say(each.by_s < 0 ? 'pass.if_sooner' : 'pass.if_later', {
              table: each.table,
              course: each.course,
              time: timeWithSeconds(each.would_land_at ?? 0),
              by: minutes(each.by_s),
            })}
            {each.cause !== '' && <small>{each.cause}</small>}
          </li>
        ))}
        {found.is.cannot.map((each) => (
          <li key={each.id}>
            {say('Table', { table: each.table })} · {each.course}: {each.why}
          </li>
        ))}
      </ul>
    </>
  );
}
