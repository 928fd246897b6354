import { acts, label } from '../../actions/registry';
import { ask } from '../../board/doing';
import type { CourseView } from '../../wire/messages';
import { say } from '../../words/say';
import type { Opened } from './opened';

/** Moves a course's landing. */
export function Moving({ course, onDone }: { course: CourseView; onDone: () => void }) {
  const { id, table, course: name } = course;
  const names = { table, course: name };
  const moves = [
    { act: acts.later, says: say('pass.later_says'), did: say('pass.did.later', names) },
    { act: acts.sooner, says: say('pass.sooner_says'), did: say('pass.did.sooner', names) },
    { act: acts.fly, says: say('pass.fly_says'), did: say('pass.did.fly', names) },
  ];
  return (
    <>
      {moves.map(({ act, says, did }) => (
        <button
          key={act.name}
          type="button"
          onClick={() => {
            void ask(act.command(id), did);
            onDone();
          }}
        >
          <b>{label(act)}</b>
          <small>{says}</small>
        </button>
      ))}
    </>
  );
}

/** Holds a table while its guest is away, and goes on when they are back. */
export function Away({ course, onDone }: { course: Opened; onDone: () => void }) {
  const { table } = course;
  const away = course.away_since !== null;
  const act = away ? acts.back : acts.away;
  return (
    <button
      type="button"
      onClick={() => {
        void ask(act.command(table), say(away ? 'pass.did.back' : 'pass.did.away', { table }));
        onDone();
      }}
    >
      <b>{label(act)}</b>
      {!away && <small>{say('pass.away_says')}</small>}
    </button>
  );
}
