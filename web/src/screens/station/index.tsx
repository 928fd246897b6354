import { useSignalEffect } from '@preact/signals';
import { useEffect, useMemo, useState } from 'preact/hooks';
import { soundCues } from '../../alarm/cue_alarm';
import { unlockSound } from '../../alarm/tones';
import { keepAwake } from '../../alarm/wake_lock';
import { colourOf } from '../../board/colours';
import { kitchen } from '../../board/kitchen';
import { kitchenNow } from '../../clock/kitchen_clock';
import { send, takeBack } from '../../wire/socket';
import { list, say } from '../../words/say';
import { StationDesk } from './desk';
import { Join, NoStation } from './join';
import { joinStations, stationsOf } from './lines';
import './station.css';
import './station_sheets.css';
import { Working } from './working';

/** `/station/<id>`, or two of them joined by a plus: what a station does next. */
export default function StationPage({ station = '' }: { station?: string }) {
  const ids = useMemo(() => stationsOf(station), [station]);
  const { line, desk } = useMemo(() => {
    const joined = joinStations(ids);
    const steady_ms = () => performance.now();
    return {
      line: joined,
      desk: new StationDesk({ board: joined.board, send, takeBack, now_ms: kitchenNow, steady_ms }),
    };
  }, [ids]);
  const [at, setAt] = useState(wasJoined(station));
  const stations = kitchen.value?.stations;
  const own = stations?.filter((one) => ids.includes(one.id)) ?? [];
  const unknown = stations === undefined ? undefined : ids.find((id) => !stations.some((one) => one.id === id));
  const name = own.length > 0 ? list(own.map((one) => one.name)) : (line.board.value?.station_name ?? station);
  const colour = colourOf(ids[0] ?? '', stations ?? []);

  useEffect(() => () => line.close(), [line]);
  useSignalEffect(() => {
    document.title = say('station.title', { station: line.board.value?.station_name ?? station });
  });
  const cues = useMemo(() => (at ? soundCues(station, line.nameOf, desk.actions) : null), [at, station, line, desk]);
  useEffect(() => () => cues?.stop(), [cues]);
  useEffect(() => {
    if (!at) return;
    // After a reload the next touch anywhere opens the sound again: browsers give it to nobody unasked.
    const first = () => {
      void unlockSound();
      void keepAwake();
    };
    addEventListener('pointerdown', first, { once: true });
    addEventListener('keydown', first, { once: true });
    return () => {
      removeEventListener('pointerdown', first);
      removeEventListener('keydown', first);
    };
  }, [at]);

  const join = () => {
    rememberJoined(station);
    void unlockSound();
    void keepAwake();
    setAt(true);
  };

  const style = { '--station': colour.fill, '--station-ink': colour.ink };
  if (stations !== undefined && unknown !== undefined) return <NoStation station={unknown} stations={stations} />;
  return (
    <div style={style} class="station-colour">
      {at && cues !== null ? (
        <Working name={name} line={line} desk={desk} announced={cues.announced} />
      ) : (
        <Join ids={ids} name={name} join={join} />
      )}
    </div>
  );
}

function wasJoined(station: string): boolean {
  try {
    return sessionStorage.getItem('kitchen-timer joined') === station;
  } catch {
    return false;
  }
}

function rememberJoined(station: string): void {
  try {
    sessionStorage.setItem('kitchen-timer joined', station);
  } catch {
    // A browser that keeps nothing asks again after a reload.
  }
}
