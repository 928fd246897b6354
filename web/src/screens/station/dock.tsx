import { acts, label } from '../../actions/registry';
import { tick } from '../../clock/kitchen_clock';
import type { ActionView } from '../../wire/messages';
import { say } from '../../words/say';
import type { StationDesk } from './desk';

/** One big action over the whole width, at the same place always; under it the smaller ones and the way back. */
export function Dock({ desk, askAgain }: { desk: StationDesk; askAgain: (action: ActionView) => void }) {
  const action = desk.big.value;
  const taken = desk.taken.value;
  const runs = desk.running.value.length > 0;
  const near = action !== null && tick.value * 1000 >= Date.parse(action.heads_up_at);
  const act = action?.kind === 'finish' ? acts.done : acts.started;
  return (
    <div class="dock">
      <button
        type="button"
        class={`big ${near ? 'solid' : 'outline'}`}
        disabled={action === null}
        onClick={() => action !== null && desk.tap(action)}
      >
        {action === null ? '–' : label(act)}
      </button>
      <div class="small">
        <button type="button" disabled={!runs} onClick={() => action !== null && desk.more(action)}>
          {label(acts.more)}
        </button>
        <button type="button" disabled={!runs} onClick={() => action !== null && askAgain(action)}>
          {label(acts.again)}
        </button>
        <button
          type="button"
          class="undo"
          disabled={taken === null}
          aria-label={taken === null ? label(acts.undo) : say('station.undo', { what: taken.words })}
          onClick={() => desk.undo()}
        >
          <b>{label(acts.undo)}</b>
          {taken !== null && <span>{label(acts[taken.act])}</span>}
        </button>
      </div>
      <p class="unseen" aria-live="polite">
        {taken?.words}
      </p>
      <p class="keys quiet">{say('station.keys')}</p>
    </div>
  );
}
