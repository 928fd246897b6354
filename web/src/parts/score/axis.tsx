/** Times of day over the score, and the upright lines under them. */

import { timeOfDay } from '../../clock/say_time';

interface TimesProps {
  x: (s: number) => number;
  from_s: number;
  to_s: number;
  pxPerS: number;
  height: number;
  /** Whether the times stand at the lines. */
  words?: boolean;
}

const STEPS_S = [60, 120, 300, 600, 900, 1800];

export function TimesOfDay({ x, from_s, to_s, pxPerS, height, words = true }: TimesProps) {
  const every = STEPS_S.find((step) => step * pxPerS >= 64) ?? 3600;
  const times: number[] = [];
  for (let s = Math.ceil(from_s / every) * every; s <= to_s; s += every) times.push(s);
  return (
    <g>
      {times.map((s) => (
        <g key={s}>
          <path class="grid" d={`M${x(s)} ${words ? 20 : 0}V${height}`} />
          {words && (
            <text class="axis" x={x(s)} y={9} text-anchor="middle" font-size={15}>
              {timeOfDay(s * 1000)}
            </text>
          )}
        </g>
      ))}
    </g>
  );
}
