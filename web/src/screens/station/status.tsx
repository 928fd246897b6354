import { quietNow } from '../../alarm/cue_alarm';
import { alarmSettings } from '../../alarm/settings';
import { awake } from '../../alarm/wake_lock';
import { beat } from '../../clock/frames';
import { unsent } from '../../wire/socket';
import { type Key, say } from '../../words/say';
import type { StationDesk } from './desk';
import type { Lines } from './lines';

const DARK: Partial<Record<typeof awake.value, Key>> = {
  no_secure_page: 'station.awake_no_secure_page',
  not_here: 'station.awake_not_here',
  refused: 'station.awake_refused',
};

/** What is wrong, each once and in words; nothing where nothing is. */
export function Status({ line, desk }: { line: Lines; desk: StationDesk }) {
  const kept = unsent().value;
  const lines: string[] = [];
  if (desk.refused.value !== null) lines.push(say('refused', { detail: desk.refused.value }));
  if (!line.link.value.inTouch && line.board.value !== null) {
    lines.push(kept > 0 ? say('station.out_of_touch_taps', { n: kept }) : say('station.out_of_touch'));
  }
  lines.push(...(line.board.value?.trouble ?? []));
  const { sound, quiet_to } = alarmSettings.value;
  void beat.value; // quiet hours begin and end while one looks
  if (quietNow()) lines.push(say('station.quiet_now', { time: quiet_to }));
  else if (!sound) lines.push(say('station.silent'));
  const dark = DARK[awake.value];
  if (dark !== undefined && lines.length === 0) lines.push((say as (key: Key) => string)(dark));
  return (
    <div class="status" role="status">
      {lines.map((words) => (
        <p key={words}>{words}</p>
      ))}
    </div>
  );
}
