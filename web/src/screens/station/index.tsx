import { useSignalEffect } from '@preact/signals';
import { useEffect, useMemo, useState } from 'preact/hooks';
import { soundCues } from '../../alarm/cue_alarm';
import { unlockSound } from '../../alarm/tones';
import { keepAwake } from '../../alarm/wake_lock';
import { colourOf } from '../../board/colours';
import { kitchen } from '../../board/kitchen';
import { kitchenNow } from '../../clock/kitchen_clock';
import { connect, send, takeBack } from '../../wire/socket';
import { say } from '../../words/say';
import { StationDesk } from './desk';
import { Join, NoStation } from './join';
import './station.css';
import { Working } from './working';

/** `/station/<id>`: what one station does next. */
export default function StationPage({ station = '' }: { station?: string }) {
  const { line, desk } = useMemo(() => {
    const joined = connect('station', station);
    const steady_ms = () => performance.now();
    return {
      line: joined,
      desk: new StationDesk({ board: joined.board, send, takeBack, now_ms: kitchenNow, steady_ms }),
    };
  }, [station]);
  const [at, setAt] = useState(wasJoined(station));
  const stations = kitchen.value?.stations;
  const known = stations?.find((one) => one.id === station);
  const name = line.board.value?.station_name ?? known?.name ?? station;
  const colour = colourOf(station, stations ?? []);

  useEffect(() => () => line.close(), [line]);
  useSignalEffect(() => {
    document.title = say('station.title', { station: line.board.value?.station_name ?? station });
  });
  const cues = useMemo(
    () => (at ? soundCues(station, () => line.board.peek()?.station_name ?? station, desk.actions) : null),
    [at, station, line, desk],
  );
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
  if (stations !== undefined && known === undefined) return <NoStation station={station} stations={stations} />;
  return (
    <div style={style} class="station-colour">
      {at && cues !== null ? (
        <Working station={station} name={name} line={line} desk={desk} announced={cues.announced} />
      ) : (
        <Join name={name} join={join} />
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
