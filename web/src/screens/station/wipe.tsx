import { useEffect, useRef, useState } from 'preact/hooks';
import { acts, isKeyOf } from '../../actions/registry';
import { say } from '../../words/say';

/** Real ms that one finger stays for: a cloth slides on, and lands with more than one point. */
export const HOLD_MS = 900;

/** Real seconds after which the lock opens by itself: a phone forgotten under it would be a station without taps. */
export const LOCKED_S = 30;

/**
 * Lets the screen be wiped: nothing under it can be touched, the cue and its countdown stay in sight and in hearing. Ends
 * by holding one finger still on the bar, by the big action's key, or by itself.
 */
export function WipeLock({ open }: { open: () => void }) {
  const [left_s, setLeft] = useState(LOCKED_S);
  const bar = useRef<HTMLButtonElement>(null);
  const held = useRef<ReturnType<typeof setTimeout> | undefined>(undefined);
  useEffect(() => {
    bar.current?.focus();
    const ticking = setInterval(() => setLeft((s) => s - 1), 1000);
    const press = (event: KeyboardEvent) => {
      event.stopPropagation();
      if (event.repeat || !isKeyOf(acts.started, event)) return;
      event.preventDefault();
      open();
    };
    addEventListener('keydown', press, { capture: true });
    return () => {
      clearInterval(ticking);
      clearTimeout(held.current);
      removeEventListener('keydown', press, { capture: true });
    };
  }, [open]);
  useEffect(() => {
    if (left_s <= 0) open();
  }, [left_s, open]);
  const letGo = () => clearTimeout(held.current);
  const touch = (event: PointerEvent) => {
    letGo();
    if (event.isPrimary) held.current = setTimeout(open, HOLD_MS);
  };
  return (
    <div class="wipe" onPointerDown={(event) => event.target !== bar.current && letGo()}>
      <div class="wipe-bar">
        <p>
          <b>{say('station.wipe_says')}</b> <span class="figures">{say('station.wipe_ends', { n: left_s })}</span>
        </p>
        <button
          ref={bar}
          type="button"
          class="big outline"
          onPointerDown={touch}
          onPointerUp={letGo}
          onPointerLeave={letGo}
          onPointerCancel={letGo}
          onContextMenu={(event) => event.preventDefault()}
        >
          {say('station.wipe_hold')}
        </button>
      </div>
    </div>
  );
}
