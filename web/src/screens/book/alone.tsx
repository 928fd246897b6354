import { colourOf } from '../../board/colours';
import { laneCount, shortName } from '../../board/course';
import { minutes, seconds } from '../../clock/say_time';
import { Score } from '../../parts/score';
import type { BookDish, CourseView, Quote, StationName } from '../../wire/messages';
import { say } from '../../words/say';

interface AloneProps {
  dish: BookDish;
  quote: Quote;
  stations: readonly StationName[];
}

/** One dish's own score, standing still: it begins at the left edge and lands; under it, part by part, what is done. */
export function Alone({ dish, quote, stations }: AloneProps) {
  const [course] = quote.courses;
  if (course === undefined) {
    return (
      <div class="cannot" role="alert">
        {quote.cannot.map((one) => (
          <p key={one.id}>
            <b>{one.why}</b> {one.would_help}
          </p>
        ))}
      </div>
    );
  }
  const begins_s = Math.min(...course.notes.map((note) => seconds(note.start_at)));
  const lands_s = seconds(course.landing_at);
  const whole_s = Math.max(120, lands_s - begins_s);
  return (
    <>
      <p class="takes figures">{say('book.takes', { time: minutes(lands_s - begins_s) })}</p>
      <div class="alone" style={{ height: `${56 + 36 * laneCount(course)}px` }}>
        <Score
          notes={course.notes}
          stands_s={begins_s}
          windowS={whole_s * 1.3 + 20}
          pastS={10}
          nowLine={false}
          landings={[{ at: course.landing_at, words: shortName(dish.name) }]}
          axis="from_landing"
          label={say('book.score', { dish: shortName(dish.name) })}
        />
      </div>
      <Parts dish={dish} course={course} stations={stations} />
    </>
  );
}

function Parts({ dish, course, stations }: { dish: BookDish; course: CourseView; stations: readonly StationName[] }) {
  const lands_s = seconds(course.landing_at);
  return (
    <ul class="parts">
      {dish.components.map((part) => {
        const first = course.notes.find((note) => note.component_name === part.name)?.load_id;
        const steps = course.notes.filter((note) => note.load_id === first);
        return (
          <li key={part.name}>
            <h3>
              <span class="swatch" style={{ background: colourOf(part.station, stations).fill }} />
              {part.name}
            </h3>
            <p class="quiet">
              {[
                stations.find((one) => one.id === part.station)?.name ?? part.station,
                say('book.keeps', { time: minutes(part.keeps_s) }),
              ].join(' · ')}
            </p>
            <ol>
              {steps.map((note) => (
                <li key={note.id} class="figures">
                  <b>−{minutes(lands_s - seconds(note.start_at))}</b> {note.do}
                  <span class="quiet">
                    {' '}
                    {[minutes(seconds(note.end_at) - seconds(note.start_at)), note.on].filter(Boolean).join(' · ')}
                  </span>
                </li>
              ))}
            </ol>
          </li>
        );
      })}
    </ul>
  );
}
