/**
 * One note. Shape before colour: outline planned, outline with a notch announced, solid started, solid with an end cap
 * done, broken edge late. The colour is the station's.
 */

import type { Colour } from '../../board/colours';
import type { NoteView } from '../../wire/messages';

interface NoteProps {
  note: NoteView;
  colour: Colour;
  x: number;
  y: number;
  width: number;
  height: number;
  direction: 'right' | 'down';
}

const TOOTH = 5;

/** A box whose beginning or end is broken, drawn clockwise from its upper left; time runs to the right. */
function box(width: number, height: number, brokenStart: boolean, brokenEnd: boolean): string {
  const tooth = Math.min(TOOTH, width / 3);
  const teeth = Math.max(2, Math.round(height / 9)) * 2;
  const edge = (x: number, inward: number, from: number, to: number) =>
    Array.from({ length: teeth + 1 }, (_, i) => {
      const y = from + ((to - from) * i) / teeth;
      return `L${(x + (i % 2 === 1 ? inward : 0)).toFixed(1)} ${y.toFixed(1)}`;
    }).join('');
  return [
    'M0 0',
    `L${width} 0`,
    brokenEnd ? edge(width, -tooth, 0, height) : `L${width} ${height}`,
    `L0 ${height}`,
    brokenStart ? edge(0, tooth, height, 0) : '',
    'Z',
  ].join('');
}

export function Note({ note, colour, x, y, width, height, direction }: NoteProps) {
  const solid = note.state === 'started' || note.state === 'done';
  const begun = solid;
  // In the coordinates of a note that runs to the right; for a falling one the same is turned a quarter.
  const along = Math.max(direction === 'right' ? width : height, 3);
  const across = direction === 'right' ? height : width;
  const turn = direction === 'right' ? `translate(${x} ${y})` : `translate(${x} ${y + height}) rotate(-90)`;
  const shape = box(along, across, note.late && !begun, note.late && begun);
  const notch = Math.min(11, across * 0.6, along * 0.8);
  const cap = Math.min(5, along);
  return (
    <g transform={turn} class={`note ${note.state}`} style={{ '--colour': colour.fill }}>
      <path d={shape} class="rim" />
      <path d={shape} class={solid ? 'solid' : 'outline'} />
      {note.state === 'announced' && <path d={`M0 0L${notch} 0L0 ${notch}Z`} class="notch" />}
      {note.state === 'done' && <rect x={along - cap} y={-2} width={cap} height={across + 4} class="cap" />}
    </g>
  );
}
