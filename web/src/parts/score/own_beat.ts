import { useComputed } from '@preact/signals';
import { useRef } from 'preact/hooks';
import { beat } from '../../clock/frames';

/** Seconds between two layings-out of one score: what moves is moved by a transform, only its words are placed anew. */
const EVERY_S = 8;

let scores = 0;

/** The kitchen's second, every few seconds only, and for each score another one: never all of them in one frame. */
export function useOwnBeat(): number {
  const own = useRef(-1);
  if (own.current < 0) {
    own.current = scores;
    scores += 1;
  }
  return useComputed(() => {
    const phase = own.current % EVERY_S;
    return Math.floor((beat.value - phase) / EVERY_S) * EVERY_S + phase;
  }).value;
}
