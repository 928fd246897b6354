import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { kitchen } from '../../board/kitchen';
import { settled } from '../../board/settled';
import { beat } from '../../clock/frames';
import { useSize } from '../../parts/score/size';
import { TimeAxis } from '../../parts/score/time_axis';
import type { CourseView, PassBoard } from '../../wire/messages';
import { connect } from '../../wire/socket';
import { say } from '../../words/say';
import { AllDaySheet } from './all_day';
import { ByStation } from './by_station';
import { CourseDialog } from './course_dialog';
import { CourseRow } from './course_row';
import { Foot, type Open } from './foot';
import { Further } from './further';
import { Head } from './head';
import { openCourse, openTables } from './opened';
import { Questions } from './questions';
import { StationSheet } from './station_sheet';
import { by } from './view';
import { windowFor } from './window';
import './pass.css';
import './pass_check.css';
import './pass_foot.css';
import './pass_dialogs.css';
import './pass_sheets.css';
import './pass_stations.css';
import './pass_questions.css';
import './pass_sizes.css';

/** Rows beyond these are drawn in one line each when there are more: what lands soon gets the room. */
const NEAR = 4;
const PAST = 0.12;

export default function PassPage() {
  const joined = useMemo(() => {
    const line = connect('pass');
    return { line, calm: settled(line.board) };
  }, []);
  useEffect(() => {
    document.title = `${say('pass.title')} · ${say('app.name')}`;
    return () => {
      joined.calm.close();
      joined.line.close();
    };
  }, [joined]);
  const board = joined.calm.board.value;
  const [course, openOf] = useState<string | null>(null);
  const [station, openStation] = useState<string | null>(null);
  const [allDay, openAllDay] = useState(false);
  const open = useMemo(() => ({ course: openOf, station: openStation, allDay: () => openAllDay(true) }), []);
  const opened = board === null ? undefined : openCourse(board, course);
  const place = kitchen.value?.stations.find((one) => one.id === station);
  return (
    <div class="pass">
      <Head board={board} link={joined.line.link.value} />
      {board === null || kitchen.value === null ? (
        <p class="pass-loading">{say('loading')}</p>
      ) : (
        <Courses board={board} open={open} />
      )}
      {board !== null && <Foot board={board} open={open} />}
      {board !== null && opened !== undefined && (
        <CourseDialog course={opened} tables={openTables(board)} onClose={() => openOf(null)} />
      )}
      {board !== null && place !== undefined && (
        <StationSheet station={place} board={board} onClose={() => openStation(null)} />
      )}
      {board !== null && allDay && <AllDaySheet board={board} onClose={() => openAllDay(false)} />}
    </div>
  );
}

function Courses({ board, open }: { board: PassBoard; open: Open }) {
  const list = useRef<HTMLElement>(null);
  const [probe, { width }] = useSize<HTMLDivElement>();
  const windowS = windowFor(board.courses, width, beat.value);
  const view = { windowS, pastS: Math.round(windowS * PAST) };
  const crowded = board.courses.length > NEAR;
  const stations = by.value === 'station';
  // By station the food that is there is checked and sent all the same.
  const rows = stations ? board.courses.filter((one) => one.at_pass) : board.courses;
  return (
    <main class="courses" ref={list}>
      <Questions board={board} />
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
      {rows.map((one, at) => (
        <Row key={one.id} course={one} far={crowded && at >= NEAR && !one.at_pass} {...view} onOpen={open.course} />
      ))}
      {stations && <ByStation board={board} {...view} onOpen={open.station} />}
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
      {!stations && <Further courses={board.courses} list={list} />}
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
