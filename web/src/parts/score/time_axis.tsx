import { beat } from '../../clock/frames';
import { TimesOfDay } from './axis';
import { Moving, useOrigin } from './moving';

interface TimeAxisProps {
  width: number;
  windowS: number;
  pastS: number;
}

/** The times of day that stand over several scores laid under one another, with the mark of the now line. */
export function TimeAxis({ width, windowS, pastS }: TimeAxisProps) {
  const now_s = beat.value;
  const origin_s = useOrigin(now_s);
  const pxPerS = width / windowS;
  const from_s = now_s - pastS;
  return (
    <div class="score time-axis" aria-hidden="true">
      <Moving origin_s={origin_s} pxPerS={pxPerS} direction="right" nowAt={pastS * pxPerS}>
        <TimesOfDay
          x={(s) => (s - origin_s) * pxPerS}
          from_s={from_s}
          to_s={from_s + windowS + 60}
          pxPerS={pxPerS}
          height={30}
        />
      </Moving>
      <div class="now-mark" style={{ left: `${pastS * pxPerS}px` }} />
    </div>
  );
}
