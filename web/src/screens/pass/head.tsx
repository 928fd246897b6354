import { kitchen } from '../../board/kitchen';
import { kitchenClock, tick } from '../../clock/kitchen_clock';
import { seconds, timeWithSeconds } from '../../clock/say_time';
import type { PassBoard } from '../../wire/messages';
import { type Link, unsent } from '../../wire/socket';
import { list, say } from '../../words/say';

/** The clock, what is in trouble, and whether the phones are in touch. */
export function Head({ board, link }: { board: PassBoard | null; link: Link }) {
  const place = kitchen.value;
  const trouble = board?.trouble ?? [];
  return (
    <header class="head">
      <h1>{say('pass.heading', { kitchen: place?.name ?? '' })}</h1>
      <div class="trouble" role="status">
        {!link.inTouch && board !== null && (
          <p>
            {say('pass.out_of_touch', { time: timeWithSeconds(link.since_ms) })}
            {unsent().value > 0 && ` · ${say('pass.unsent', { n: unsent().value })}`}
          </p>
        )}
        {link.inTouch && board !== null && <LostPhones board={board} />}
        {trouble.map((words) => (
          <p key={words}>{words}</p>
        ))}
      </div>
      <div class="head-end">{board && <Phones board={board} />}</div>
      <Clock />
    </header>
  );
}

/** Real seconds out of touch from which a station is named: a phone that changes its network is back sooner. */
const WORTH_SAYING_S = 15;

/** Stations that had a phone and have none any more: there a cue is called by voice. */
function LostPhones({ board }: { board: PassBoard }) {
  const since_s = (tick.value - seconds(board.now)) / kitchenClock.speed;
  const lost = board.stations.filter(
    ({ devices, out_of_touch_s }) =>
      devices === 0 && out_of_touch_s !== null && out_of_touch_s + since_s >= WORTH_SAYING_S,
  );
  if (lost.length === 0) return null;
  return <p>{say('pass.lost_phones', { n: lost.length, stations: list(lost.map((station) => station.name)) })}</p>;
}

function Phones({ board }: { board: PassBoard }) {
  const near = board.stations.filter((station) => station.devices > 0).length;
  return <span class="phones figures">{say('pass.phones', { n: near, all: board.stations.length })}</span>;
}

function Clock() {
  return <time class="clock figures">{timeWithSeconds(tick.value * 1000)}</time>;
}
