import { ask } from '../../board/doing';
import type { CheckLine, CourseView } from '../../wire/messages';
import { say } from '../../words/say';
import { Allergies } from './allergies';

/** Of what has stood, so many are said here, the worst first; all of them in what a touch on the course opens. */
const STANDS_SHOWN = 6;

/** A course that is all there: what to check, allergies first, and the one touch that sends it. */
export function Check({ course }: { course: CourseView }) {
  const of = (kind: CheckLine['kind']) => course.checks.filter((line) => line.kind === kind);
  const stands = of('stands');
  // Allergies stand in blocks of their own; a line about one that none of them says is said as it is.
  const untold = of('allergy').filter((line) => !course.allergies.some((one) => line.words.startsWith(one.words)));
  const lines = [...untold, ...of('core_temp'), ...stands.slice(0, STANDS_SHOWN)];
  const more = stands.length - STANDS_SHOWN;
  const sent = () =>
    void ask(
      { kind: 'send_course', course_id: course.id },
      say('pass.did.sent', { table: course.table, course: course.course }),
    );
  return (
    <div class="check">
      <div class="check-list">
        <h2>{say('pass.all_there')}</h2>
        <Allergies allergies={course.allergies} brief={false} />
        {lines.length === 0 && course.allergies.length === 0 && <p>{say('pass.nothing_to_check')}</p>}
        <ul class="check-lines">
          {lines.map((line) => (
            <li key={line.words} class={line.kind}>
              <span class={line.kind === 'allergy' ? 'allergy' : ''}>{line.words}</span>
            </li>
          ))}
          {more > 0 && <li class="quiet">{say('pass.more_stands', { n: more })}</li>}
        </ul>
      </div>
      <button
        type="button"
        class="send"
        aria-label={`${say('pass.send')}: ${say('table', { table: course.table })}, ${course.course}`}
        onClick={sent}
      >
        {say('pass.send')}
      </button>
    </div>
  );
}
