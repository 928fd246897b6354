/** The one picture of time: notes that move under a still now line and close up on their landing. */

import { useEffect, useState } from 'preact/hooks';
import { colourOf } from '../../board/colours';
import { kitchen } from '../../board/kitchen';
import type { NoteView } from '../../wire/messages';
import { Across } from './across';
import { Falling } from './falling';
import './score.css';
import { forgetWidths } from './words';

export interface Landing {
  at: string;
  /** What stands at the stroke: "6 lands". */
  words: string;
}

export interface ScoreProps {
  notes: readonly NoteView[];
  /** Time runs to the right (a lane each load) or falls down to the now line (what goes in together is one note). */
  direction?: 'right' | 'down';
  /** By table: a line each load. By station: loads of several tables on as few lines as they need, each with its table. */
  lanes?: 'table' | 'station';
  /** Seconds that are seen, the past included. */
  windowS: number;
  /** Seconds of the past that are seen. */
  pastS?: number;
  landings?: readonly Landing[];
  /** Whether the times of day stand over it (right) or the minutes beside it (down); or the minutes to the landing. */
  axis?: boolean | 'from_landing';
  /** A second at which the picture stands still, instead of moving with the kitchen's clock. */
  stands_s?: number;
  /** Whether only the upright lines of the times of day are drawn, for a score that lies under a shared axis. */
  grid?: boolean;
  /** Whether the now line is drawn; a page that lays several scores under one line draws it itself. */
  nowLine?: boolean;
  /** What the picture is, for those who do not see it. */
  label: string;
}

export function Score(props: ScoreProps) {
  const stations = kitchen.value?.stations ?? [];
  const colour = (station: string) => colourOf(station, stations);
  const [, fontsCame] = useState(0);
  useEffect(() => {
    const faces = ['400', '700'].map((weight) => document.fonts?.load(`${weight} 16px 'Atkinson Hyperlegible'`));
    void Promise.allSettled(faces).then(() => {
      forgetWidths();
      fontsCame((n) => n + 1);
    });
  }, []);
  return (
    <div class={`score ${props.direction ?? 'right'}`} role="img" aria-label={props.label}>
      {props.direction === 'down' ? <Falling {...props} colour={colour} /> : <Across {...props} colour={colour} />}
    </div>
  );
}
