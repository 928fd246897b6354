/** The score of a station: notes fall to the now line; what touches it is to be started. */

import type { Colour } from '../../board/colours';
import { beat } from '../../clock/frames';
import { say } from '../../words/say';
import { type Bar, columnsOf, joinedBars } from './lanes';
import { Moving, useOrigin } from './moving';
import { Note } from './note';
import type { ScoreProps } from './score';
import { useSize } from './size';
import { named, widthOf } from './words';

const MARGIN = 52;
const GAP = 8;

export function Falling(props: ScoreProps & { colour: (station: string) => Colour }) {
  const { notes, windowS, pastS = 0, axis = true, nowLine = true, colour } = props;
  const [box, { width, height }] = useSize<HTMLDivElement>();
  const now_s = beat.value;
  const origin_s = useOrigin(now_s);
  const pxPerS = height / windowS;
  const nowAt = height - pastS * pxPerS;
  const left = axis ? MARGIN : 0;
  const near = joinedBars(notes, now_s).filter((bar) => bar.to_s > now_s - pastS && bar.from_s < now_s + windowS);
  const placed = columnsOf(near);
  const columns = Math.max(2, ...placed.map((one) => one.column + 1));
  const columnWidth = (width - left - GAP * (columns - 1)) / columns;
  const y = (s: number) => (origin_s - s) * pxPerS;
  const topSeen = y(now_s) - nowAt;
  const marks = Array.from({ length: Math.floor((windowS - pastS) / 60) }, (_, i) => i + 1);

  return (
    <div class="box" ref={box}>
      {axis &&
        height > 0 &&
        marks.map((minute) => (
          <div key={minute} class="mark" style={{ top: `${nowAt - minute * 60 * pxPerS}px` }}>
            <span>{say('minutes', { n: minute })}</span>
          </div>
        ))}
      {height > 0 && (
        <Moving origin_s={origin_s} pxPerS={pxPerS} direction="down" nowAt={nowAt}>
          {placed.map(({ bar, column }) => {
            const x = left + column * (columnWidth + GAP);
            const top = y(bar.to_s);
            const bottom = y(bar.from_s);
            const above = placed.filter((other) => other.column === column && other.bar.from_s >= bar.to_s);
            const ceiling = Math.max(topSeen, ...above.map((other) => y(other.bar.from_s)));
            return (
              <g key={bar.note.id}>
                <Note
                  note={bar.note}
                  colour={colour(bar.note.station)}
                  x={x}
                  y={top}
                  width={columnWidth}
                  height={bottom - top}
                  direction="down"
                />
                <Words
                  bar={bar}
                  colour={colour(bar.note.station)}
                  x={x}
                  width={columnWidth}
                  top={Math.max(top, topSeen)}
                  bottom={Math.min(bottom, topSeen + nowAt)}
                  ceiling={ceiling}
                />
              </g>
            );
          })}
        </Moving>
      )}
      {nowLine && <div class="now down" style={{ top: `${nowAt}px` }} />}
    </div>
  );
}

interface WordsProps {
  bar: Bar;
  colour: Colour;
  x: number;
  width: number;
  /** The part of the note that is seen, and the bottom of what stands over it in the column. */
  top: number;
  bottom: number;
  ceiling: number;
}

function Words({ bar, colour, x, width, top, bottom, ceiling }: WordsProps) {
  const size = Math.round(Math.min(26, Math.max(16, width * 0.08)));
  const line = size * 1.2;
  const fits = (text: string, room: number) => widthOf(text, size) <= room;
  const names = [named(bar), bar.note.component_name];
  const room = bottom - top;
  const middle = x + width / 2;
  const solid = bar.note.state === 'started' || bar.note.state === 'done';
  const looks = {
    'text-anchor': 'middle' as const,
    'font-size': size,
    class: solid ? 'word on-solid' : 'word',
    style: solid ? { fill: colour.ink } : undefined,
  };
  const name = names.find((text) => fits(text, width - 12));
  if (name !== undefined && room >= line) {
    const lines = room >= 2 * line + 4 && fits(bar.note.do, width - 12) ? [name, bar.note.do] : [name];
    return (
      <>
        {lines.map((text, at) => (
          <text key={text} x={middle} y={(top + bottom) / 2 + (at - (lines.length - 1) / 2) * line} {...looks}>
            {text}
          </text>
        ))}
      </>
    );
  }
  // A column too narrow for its words, as on a station with much at once: they stand upright in it, beginning below.
  const upright = names.find((text) => fits(text, room - 8));
  if (upright !== undefined && width >= line) {
    return (
      <text transform={`translate(${middle} ${(top + bottom) / 2}) rotate(-90)`} {...looks}>
        {upright}
      </text>
    );
  }
  if (name === undefined || top - ceiling < line + 2 || room < 0) return null;
  return (
    <text x={middle} y={top - line / 2 - 1} text-anchor="middle" font-size={size} class="word">
      {name}
    </text>
  );
}
