import type { NoteState, NoteView } from '../../wire/messages';
import { Note } from './note';

const PLAIN: NoteView = {
  id: '',
  load_id: '',
  course_id: '',
  table: '',
  dish: '',
  dish_name: '',
  component: '',
  component_name: '',
  do: '',
  station: '',
  on: null,
  portions: 1,
  start_at: '',
  end_at: '',
  state: 'planned',
  late: false,
  hands: 'none',
  last: false,
  keeps_until: null,
  stands_until: null,
  joined: [],
  spare: 0,
  pinned: false,
};

/** A note for the legend, in no station's colour. */
export function NoteSample({ state }: { state: NoteState | 'late' }) {
  const note: NoteView = { ...PLAIN, state: state === 'late' ? 'started' : state, late: state === 'late' };
  return (
    <span class="score sample" aria-hidden="true">
      <svg width="34" height="20" role="presentation">
        <Note note={note} colour={{ fill: '#8f8c85', ink: '' }} x={2} y={3} width={28} height={14} direction="right" />
      </svg>
    </span>
  );
}
