import type { Tone } from './tones';

// Milliseconds on, off, on …: the rhythm of the tone of the same name.
const RHYTHM: Record<Tone, number[]> = { heads_up: [80, 100, 160], cue: [140, 60, 140, 60, 140, 60, 420], taken: [25] };

/** Whether this device vibrates for a page (phones of one large maker never do). */
export function canVibrate(): boolean {
  return typeof navigator !== 'undefined' && typeof navigator.vibrate === 'function';
}

export function vibrate(tone: Tone): void {
  if (canVibrate()) navigator.vibrate(RHYTHM[tone]);
}
