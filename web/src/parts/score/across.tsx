/** The score by table: time runs to the right, a lane each load. */

import type { Colour } from '../../board/colours';
import { seconds } from '../../clock/say_time';
import { TimesOfDay } from './axis';
import { type Lane, lanesOf, stationLanes } from './lanes';
import { Moving, useOrigin } from './moving';
import { Note } from './note';
import { useOwnBeat } from './own_beat';
import type { ScoreProps } from './score';
import { useSeen } from './seen';
import { useSize } from './size';
import { widthOf, wordsOf } from './words';

const AXIS = 22;
/** Words smaller than this, in px, help nobody. */
const LEAST_WORDS = 10;
const MOST = 38;
const PAD = 5;

export function Across(props: ScoreProps & { colour: (station: string) => Colour }) {
  const { notes, windowS, pastS = 60, landings = [], axis = false, grid = false, nowLine = true, colour } = props;
  const [box, { width, height }] = useSize<HTMLDivElement>();
  const seenAtAll = useSeen(box);
  const own_s = useOwnBeat();
  const now_s = props.stands_s ?? own_s;
  const origin_s = useOrigin(now_s);
  const lanes = props.lanes === 'station' ? stationLanes(notes, now_s) : lanesOf(notes, now_s);
  const rows = lanes.reduce((most, lane) => Math.max(most, lane.row + 1), 1);

  const pxPerS = width / windowS;
  const nowAt = pastS * pxPerS;
  const x = (s: number) => (s - origin_s) * pxPerS;
  const left = x(now_s) - nowAt;
  const right = left + width;
  const top = axis ? AXIS : PAD;
  const foot = landings.length > 0 ? Math.min(26, Math.max(18, height * 0.14)) : PAD;
  const laneHeight = Math.min(MOST, (height - top - foot) / rows);
  const gap = Math.min(6, laneHeight * 0.16);
  const noteHeight = Math.max(2, laneHeight - gap);
  const size = Math.round(Math.min(22, noteHeight * 0.84));
  const withWords = size >= LEAST_WORDS;
  const strokes = landings.map((landing) => x(seconds(landing.at)));
  const seen = (lane: Lane) => lane.bars.some((bar) => x(bar.from_s) < right + 400) || lane.tail !== null;

  return (
    <div class="box" ref={box} style={{ minHeight: `${top + foot + rows * 7}px` }}>
      {width > 0 && seenAtAll && (
        <Moving
          origin_s={origin_s}
          pxPerS={pxPerS}
          direction="right"
          nowAt={nowAt}
          stands={props.stands_s !== undefined}
        >
          {(axis || grid) && (
            <TimesOfDay
              x={x}
              from_s={now_s - pastS}
              to_s={now_s - pastS + windowS + 60}
              pxPerS={pxPerS}
              height={height}
              words={axis !== false}
              to_landing_s={axis === 'from_landing' && landings[0] ? seconds(landings[0].at) : null}
            />
          )}
          {lanes.filter(seen).map((lane) => {
            const y = top + lane.row * laneHeight + gap / 2;
            const from = Math.max(left, x(lane.after_s));
            const to = Math.min(right, x(lane.before_s));
            const middle = y + noteHeight / 2;
            const own = colour(lane.bars[0]?.note.station ?? '');
            return (
              <g key={lane.id} style={{ '--colour': own.fill }}>
                {lane.track && (
                  <rect
                    class="track"
                    x={x(lane.track.from_s)}
                    y={middle - noteHeight * 0.16}
                    width={x(lane.track.to_s) - x(lane.track.from_s)}
                    height={noteHeight * 0.32}
                  />
                )}
                {lane.tail && <Tail lane={lane} tail={lane.tail} x={x} y={middle} />}
                {lane.bars.map((bar) => (
                  <Note
                    key={bar.note.id}
                    note={bar.note}
                    colour={colour(bar.note.station)}
                    x={x(bar.from_s)}
                    y={y}
                    width={x(bar.to_s) - x(bar.from_s)}
                    height={noteHeight}
                    direction="right"
                  />
                ))}
                {withWords &&
                  wordsOf(lane, x, from, to, size, strokes).map((word) => {
                    const solid = word.inside?.note.state === 'started' || word.inside?.note.state === 'done';
                    return (
                      <text
                        key={word.text}
                        x={word.x}
                        y={middle}
                        text-anchor={word.anchor}
                        font-size={size}
                        class={solid ? 'word on-solid' : 'word'}
                        style={solid && word.inside ? { fill: colour(word.inside.note.station).ink } : undefined}
                      >
                        {word.text}
                      </text>
                    );
                  })}
              </g>
            );
          })}
          {landings.map((landing) => {
            const at = x(seconds(landing.at));
            const size = Math.max(14, foot * 0.85);
            const fits = at + 12 + widthOf(landing.words, size, true) < right;
            return (
              <g key={landing.words + landing.at}>
                <path class="landing" d={`M${at} ${axis ? top : 0}V${height}`} />
                <text
                  class="landing-words"
                  x={fits ? at + 8 : at - 8}
                  y={height - foot / 2}
                  text-anchor={fits ? 'start' : 'end'}
                  font-size={size}
                >
                  {landing.words}
                </text>
              </g>
            );
          })}
        </Moving>
      )}
      {nowLine && <div class="now across" style={{ left: `${nowAt}px` }} />}
    </div>
  );
}

interface TailProps {
  lane: Lane;
  tail: { from_s: number; to_s: number };
  x: (s: number) => number;
  y: number;
}

/** What a component stands until the landing; off its track, where it no longer keeps, the tail is broken. */
function Tail({ lane, tail, x, y }: TailProps) {
  const good_s = Math.min(tail.to_s, lane.track?.to_s ?? tail.from_s);
  const whole = `M${x(tail.from_s)} ${y}H${x(good_s)}`;
  return (
    <>
      {good_s > tail.from_s && <path class="tail-rim" d={whole} />}
      {good_s > tail.from_s && <path class="tail" d={whole} />}
      {tail.to_s > good_s && <path class="tail dying" d={`M${x(good_s)} ${y}H${x(tail.to_s)}`} />}
    </>
  );
}
