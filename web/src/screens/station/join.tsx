import { kitchen } from '../../board/kitchen';
import type { StationName } from '../../wire/messages';
import { say } from '../../words/say';
import { Settings } from './settings';

/** The first touch: joins the station and opens the sound. */
export function Join({ ids, name, join }: { ids: readonly string[]; name: string; join: () => void }) {
  return (
    <main class="join">
      <h1>{name}</h1>
      <p class="quiet">{kitchen.value?.name}</p>
      <button type="button" class="big solid" onClick={join}>
        {say('station.join', { station: name })}
      </button>
      <p>{say('station.join_says', { station: name })}</p>
      <Settings />
      {ids.length === 1 && <Also own={ids[0] ?? ''} name={name} />}
    </main>
  );
}

/** A quiet evening's cook stands at two stations: the same page for both. */
function Also({ own, name }: { own: string; name: string }) {
  const others = (kitchen.value?.stations ?? []).filter((one) => one.id !== own);
  if (others.length === 0) return null;
  return (
    <details>
      <summary>{say('station.also')}</summary>
      <ul class="choose">
        {others.map((other) => (
          <li key={other.id}>
            <a href={`/station/${encodeURIComponent(own)}+${encodeURIComponent(other.id)}`}>
              {say('station.also_with', { station: name, other: other.name })}
            </a>
          </li>
        ))}
      </ul>
    </details>
  );
}

/** An address of a station that the kitchen does not have: those that it has, to choose from. */
export function NoStation({ station, stations }: { station: string; stations: readonly StationName[] }) {
  return (
    <main class="join">
      <h1>{say('station.no_station', { station })}</h1>
      <p>{say('station.choose')}</p>
      <ul class="choose">
        {stations.map((one) => (
          <li key={one.id}>
            <a href={`/station/${encodeURIComponent(one.id)}`}>{one.name}</a>
          </li>
        ))}
      </ul>
    </main>
  );
}
