/** Times of day over the score, and the upright lines under them. */

import { minutes, timeOfDay } from '../../clock/say_time';

interface TimesProps {
  x: (s: number) => number;
  from_s: number;
  to_s: number;
  pxPerS: number;
  height: number;
  /** Whether the times stand at the lines. */
  words?: boolean;
  /** A landing from which the minutes are counted, instead of the time of day. */
  to_landing_s?: number | null;
}

const STEPS_S = [60, 120, 300, 600, 900, 1800];

export function TimesOfDay({ x, from_s, to_s, pxPerS, height, words = true, to_landing_s = null }: TimesProps) {
  const every = STEPS_S.find((step) => step * pxPerS >= 64) ?? 3600;
  const times: number[] = [];
  const zero_s = to_landing_s ?? 0;
  for (let s = zero_s + Math.ceil((from_s - zero_s) / every) * every; s <= to_s; s += every) times.push(s);
  return (
    <g>
      {times.map((s) => (
        <g key={s}>
          <path class="grid" d={`M${x(s)} ${words ? 20 : 0}V${height}`} />
          {words && (
            <text class="axis" x={x(s)} y={9} text-anchor="middle" font-size={15}>
              {to_landing_s === null
                ? timeOfDay(s * 1000)
                : s <= to_landing_s && `${s < to_landing_s ? '−' : ''}${minutes(to_landing_s - s)}`}
            </text>
          )}
        </g>
      ))}
    </g>
  );
}
