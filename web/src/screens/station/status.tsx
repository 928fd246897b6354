import { awake } from '../../alarm/wake_lock';
import type { StationBoard } from '../../wire/messages';
import { type Joined, unsent } from '../../wire/socket';
import { type Key, say } from '../../words/say';
import type { StationDesk } from './desk';

const DARK: Partial<Record<typeof awake.value, Key>> = {
  no_secure_page: 'station.awake_no_secure_page',
  not_here: 'station.awake_not_here',
  refused: 'station.awake_refused',
};

/** What is wrong, each once and in words; nothing where nothing is. */
export function Status({ line, desk }: { line: Joined<StationBoard>; desk: StationDesk }) {
  const kept = unsent().value;
  const lines: string[] = [];
  if (desk.refused.value !== null) lines.push(say('refused', { detail: desk.refused.value }));
  if (!line.link.value.inTouch && line.board.value !== null) {
    lines.push(kept > 0 ? say('station.out_of_touch_taps', { n: kept }) : say('station.out_of_touch'));
  }
  lines.push(...(line.board.value?.trouble ?? []));
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
