import { kitchen } from '../../board/kitchen';
import { tick } from '../../clock/kitchen_clock';
import { timeWithSeconds } from '../../clock/say_time';
import type { PassBoard } from '../../wire/messages';
import { type Link, unsent } from '../../wire/socket';
import { say } from '../../words/say';

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
        {trouble.map((words) => (
          <p key={words}>{words}</p>
        ))}
      </div>
      <div class="head-end">{board && <Phones board={board} />}</div>
      <Clock />
    </header>
  );
}

function Phones({ board }: { board: PassBoard }) {
  const near = board.stations.filter((station) => station.devices > 0).length;
  return <span class="phones figures">{say('pass.phones', { n: near, all: board.stations.length })}</span>;
}

function Clock() {
  return <time class="clock figures">{timeWithSeconds(tick.value * 1000)}</time>;
}
