import { useMemo } from 'preact/hooks';
import { colourOf } from '../../board/colours';
import { atTable } from '../../board/course';
import { kitchen } from '../../board/kitchen';
import { tick } from '../../clock/kitchen_clock';
import { countdown, seconds } from '../../clock/say_time';
import { lineCount, Score } from '../../parts/score';
import type { CourseView, NoteView, PassBoard, StationName } from '../../wire/messages';
import { say } from '../../words/say';
import { useStacked } from './stacked';

interface ByStationProps {
  board: PassBoard;
  windowS: number;
  pastS: number;
  onOpen: (station: string) => void;
}

/** The score by station: a row each, every table's notes of it, and the landings that they close up on. */
export function ByStation({ board, windowS, pastS, onOpen }: ByStationProps) {
  const courses = board.courses.filter((one) => !one.at_pass);
  return (
    <>
      {(kitchen.value?.stations ?? []).map((station) => (
        <StationRow
          key={station.id}
          station={station}
          courses={courses}
          windowS={windowS}
          pastS={pastS}
          hasPhone={(board.stations.find((one) => one.id === station.id)?.devices ?? 0) > 0}
          onOpen={() => onOpen(station.id)}
        />
      ))}
    </>
  );
}

interface RowProps {
  station: StationName;
  courses: readonly CourseView[];
  windowS: number;
  pastS: number;
  hasPhone: boolean;
  onOpen: () => void;
}

function StationRow({ station, courses, windowS, pastS, hasPhone, onOpen }: RowProps) {
  const stacked = useStacked();
  const notes = courses.flatMap((course) => course.notes.filter((note) => note.station === station.id));
  const theirs = courses.filter((course) => course.notes.some((note) => note.station === station.id));
  const landings = theirs.map((course) => ({ at: course.landing_at, words: course.table }));
  const stations = kitchen.value?.stations ?? [];
  const lines = Math.max(
    2,
    useMemo(() => lineCount(notes), [notes.length, courses]),
  );
  return (
    <article class="row station-row" data-station={station.id} style={{ flexGrow: lines, '--lanes': lines }}>
      <div class="who">
        <button
          type="button"
          class="open"
          aria-haspopup="dialog"
          aria-label={say('sheet.station_open', { station: station.name })}
          onClick={onOpen}
        >
          <span class="swatch" style={{ background: colourOf(station.id, stations).fill }} />
          <span class="station-name">{station.name}</span>
        </button>
        {!hasPhone && <p class="quiet">{say('pass.no_phone')}</p>}
        <Allergies courses={theirs} station={station.id} />
      </div>
      <div class="score-cell">
        <Score
          notes={notes}
          lanes="station"
          windowS={windowS}
          pastS={pastS}
          landings={landings}
          axis={stacked}
          grid
          label={say('pass.station_score', { station: station.name })}
        />
      </div>
      <div class="when">
        <NextHere notes={notes} />
      </div>
    </article>
  );
}

/** Allergies of the plates that this station cooks for, each with its table. */
function Allergies({ courses, station }: { courses: readonly CourseView[]; station: string }) {
  const found = courses.flatMap((course) =>
    course.allergies
      .filter((allergy) => course.notes.some((n) => n.station === station && n.dish_name === allergy.dish))
      .map((allergy) => say('pass.at_table', { table: course.table, what: atTable(allergy) })),
  );
  if (found.length === 0) return null;
  return (
    <ul class="allergies">
      {[...new Set(found)].map((words) => (
        <li key={words} class="allergy">
          {words}
        </li>
      ))}
    </ul>
  );
}

/** What the station starts next: how soon, what, for whom. */
function NextHere({ notes }: { notes: readonly NoteView[] }) {
  const next = notes
    .filter((note) => note.state === 'planned' || note.state === 'announced')
    .sort((a, b) => seconds(a.start_at) - seconds(b.start_at))[0];
  if (next === undefined) return <span class="quiet">{say('pass.station_free')}</span>;
  const left = countdown(seconds(next.start_at), tick.value);
  return (
    <>
      <span class="count figures" role="timer">
        {left.over ? say('pass.over', { time: left.text }) : left.text}
      </span>
      <span class="next-here figures">
        {next.do} · {next.portions} {next.component_name} · {say('table', { table: next.table })}
      </span>
    </>
  );
}
