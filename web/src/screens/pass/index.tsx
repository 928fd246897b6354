import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { kitchen } from '../../board/kitchen';
import { sameCourses } from '../../board/same';
import { beat } from '../../clock/frames';
import { useSize } from '../../parts/score/size';
import { TimeAxis } from '../../parts/score/time_axis';
import type { CourseView, PassBoard } from '../../wire/messages';
import { connect } from '../../wire/socket';
import { say } from '../../words/say';
import { CourseDialog } from './course_dialog';
import { CourseRow } from './course_row';
import { Foot } from './foot';
import { Further } from './further';
import { Head } from './head';
import { Questions } from './questions';
import { windowFor } from './window';
import './pass.css';
import './pass_check.css';
import './pass_foot.css';
import './pass_dialogs.css';
import './pass_questions.css';
import './pass_sizes.css';

/** Rows beyond these are drawn in one line each when there are more: what lands soon gets the room. */
const NEAR = 4;
const PAST = 0.12;

export default function PassPage() {
  const joined = useMemo(() => connect('pass'), []);
  useEffect(() => {
    document.title = `${say('pass.title')} · ${say('app.name')}`;
    return joined.close;
  }, [joined]);
  const last = useRef<PassBoard | null>(null);
  const board = sameCourses(last.current, joined.board.value);
  last.current = board;
  return (
    <div class="pass">
      <Head board={board} link={joined.link.value} />
      {board === null || kitchen.value === null ? (
        <p class="pass-loading">{say('loading')}</p>
      ) : (
        <Courses board={board} />
      )}
      {board !== null && <Foot board={board} />}
    </div>
  );
}

function Courses({ board }: { board: PassBoard }) {
  const [opened, open] = useState<string | null>(null);
  const list = useRef<HTMLElement>(null);
  const [probe, { width }] = useSize<HTMLDivElement>();
  const windowS = windowFor(board.courses, width, beat.value);
  const view = { windowS, pastS: Math.round(windowS * PAST) };
  const crowded = board.courses.length > NEAR;
  const course: CourseView | undefined = board.courses.find((one) => one.id === opened);
  return (
    <main class="courses" ref={list}>
      <Questions questions={board.questions} />
      <div class="axis-row">
        <div />
        <div class="axis-box" ref={probe}>
          {width > 0 && <TimeAxis width={width} {...view} />}
        </div>
        <div />
      </div>
      {board.courses.length === 0 && board.cannot.length === 0 && (
        <div class="nothing">
          <p>{say('pass.nothing')}</p>
          <p class="quiet">{say('pass.nothing_says')}</p>
        </div>
      )}
      {board.courses.map((one, at) => (
        <Row key={one.id} course={one} far={crowded && at >= NEAR && !one.at_pass} {...view} onOpen={open} />
      ))}
      {board.cannot.map((one) => (
        <article key={one.id} class="cannot">
          <span class="table-no figures">{one.table}</span>
          <p>
            <strong>
              {one.course} {say('pass.cannot')}
            </strong>{' '}
            {one.why} {one.would_help}
          </p>
        </article>
      ))}
      <Further courses={board.courses} list={list} />
      {course && <CourseDialog course={course} onClose={() => open(null)} />}
    </main>
  );
}

interface Shown {
  course: CourseView;
  far: boolean;
  windowS: number;
  pastS: number;
  onOpen: (id: string) => void;
}

/** Drawn again only when something about it has changed: boards come several times a second in a rush. */
function Row({ course, far, windowS, pastS, onOpen }: Shown) {
  return useMemo(
    () => <CourseRow course={course} far={far} windowS={windowS} pastS={pastS} onOpen={() => onOpen(course.id)} />,
    [course, far, windowS, pastS, onOpen],
  );
}
