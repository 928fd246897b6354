/** What moves with time: one frame loop for the page, and a calm beat for what is laid out anew. */

import { effect, type ReadonlySignal, signal } from '@preact/signals';
import { kitchenNow, tick } from './kitchen_clock';

type Mover = (now_ms: number) => void;

const movers = new Set<Mover>();
let running = false;

const still = typeof matchMedia === 'function' ? matchMedia('(prefers-reduced-motion: reduce)') : null;

function frame(): void {
  if (movers.size === 0) {
    running = false;
    return;
  }
  const now = kitchenNow();
  for (const move of movers) move(now);
  if (still?.matches) setTimeout(() => requestAnimationFrame(frame), 1000);
  else requestAnimationFrame(frame);
}

/** Calls `move` with the kitchen's ms on every frame (once a second where less motion is asked for); returns the end of it. */
export function onFrame(move: Mover): () => void {
  movers.add(move);
  if (!running) {
    running = true;
    requestAnimationFrame(frame);
  }
  return () => movers.delete(move);
}

const calm = signal(tick.peek());
let last_ms = 0;

effect(() => {
  const second = tick.value;
  const now = Date.now();
  // A clock ten times as fast ticks ten times a second: laying out that often would be for nobody's eyes.
  if (now - last_ms >= 900 || now < last_ms || Math.abs(second - calm.peek()) > 30) {
    last_ms = now;
    calm.value = second;
  }
});

/** The kitchen's second, changing at most once a real second: for layout that depends on now. */
export const beat: ReadonlySignal<number> = calm;
