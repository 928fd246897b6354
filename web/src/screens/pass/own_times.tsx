import { acts, CUE_S, label } from '../../actions/registry';
import { ask } from '../../board/doing';
import { tick } from '../../clock/kitchen_clock';
import { seconds, timeWithSeconds } from '../../clock/say_time';
import type { CourseView, NoteView } from '../../wire/messages';
import { say } from '../../words/say';

/** The first step of each load that has not begun: its start is what can be set. */
function startsOf(course: CourseView): NoteView[] {
  const begun = new Set(
    course.notes.filter((note) => note.state === 'started' || note.state === 'done').map((note) => note.load_id),
  );
  return course.notes
    .filter((note) => note.id === `${note.load_id}/0` && !begun.has(note.load_id))
    .sort((a, b) => seconds(a.start_at) - seconds(b.start_at));
}

/** The chef's own time for a part's start, a minute a touch; plans keep it until it is given back. */
export function OwnTimes({ course }: { course: CourseView }) {
  const starts = startsOf(course);
  const { table } = course;
  const set = (note: NoteView, by_s: number) => {
    const at = new Date((seconds(note.start_at) + by_s) * 1000).toISOString();
    const words = { table, component: note.component_name, time: timeWithSeconds(at) };
    void ask(acts.cue.command(note.id, at), say('did.cue', words));
  };
  if (starts.length === 0) return <p>{say('sheet.cues_none')}</p>;
  return (
    <ul class="own-times">
      {starts.map((note) => (
        <li key={note.id}>
          <span class="own-time">
            <b class="figures">{timeWithSeconds(note.start_at)}</b> {note.do} · {note.component_name}
            {note.pinned && <small> {say('sheet.cue_own')}</small>}
          </span>
          <button
            type="button"
            aria-label={say('sheet.cue_sooner_of', { component: note.component_name })}
            disabled={seconds(note.start_at) - CUE_S < tick.value}
            onClick={() => set(note, -CUE_S)}
          >
            {say('sheet.cue_sooner')}
          </button>
          <button
            type="button"
            aria-label={say('sheet.cue_later_of', { component: note.component_name })}
            onClick={() => set(note, CUE_S)}
          >
            {say('sheet.cue_later')}
          </button>
          {note.pinned && (
            <button
              type="button"
              onClick={() =>
                void ask(acts.free.command(note.id), say('did.free', { table, component: note.component_name }))
              }
            >
              {label(acts.free)}
            </button>
          )}
        </li>
      ))}
    </ul>
  );
}
