import { acts, label } from '../../actions/registry';
import { ask } from '../../board/doing';
import type { CourseView } from '../../wire/messages';
import { say } from '../../words/say';

/** Moves a course's landing, or holds its table while a guest is away. */
export function Moving({ course, onDone }: { course: CourseView; onDone: () => void }) {
  const { id, table, course: name } = course;
  const names = { table, course: name };
  const moves = [
    { act: acts.later, says: say('pass.later_says'), did: say('pass.did.later', names) },
    { act: acts.sooner, says: say('pass.sooner_says'), did: say('pass.did.sooner', names) },
    { act: acts.fly, says: say('pass.fly_says'), did: say('pass.did.fly', names) },
  ];
  const done = (asked: Promise<void>) => {
    void asked;
    onDone();
  };
  return (
    <>
      {moves.map(({ act, says, did }) => (
        <button key={act.name} type="button" onClick={() => done(ask(act.command(id), did))}>
          <b>{label(act)}</b>
          <small>{says}</small>
        </button>
      ))}
      {course.away_since === null ? (
        <button type="button" onClick={() => done(ask(acts.away.command(table), say('pass.did.away', { table })))}>
          <b>{label(acts.away)}</b>
          <small>{say('pass.away_says')}</small>
        </button>
      ) : (
        <button type="button" onClick={() => done(ask(acts.back.command(table), say('pass.did.back', { table })))}>
          <b>{label(acts.back)}</b>
        </button>
      )}
    </>
  );
}
