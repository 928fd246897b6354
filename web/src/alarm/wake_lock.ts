import { type ReadonlySignal, signal } from '@preact/signals';

/** Whether the screen stays awake: held, not to be had here (with why), or lost for now. */
export type Awake = 'held' | 'no_secure_page' | 'not_here' | 'refused' | 'not_asked';

const state = signal<Awake>('not_asked');

/** Read-only: shown on the station page, since a screen that goes dark is a cue nobody sees. */
export const awake: ReadonlySignal<Awake> = state;

let lock: WakeLockSentinel | null = null;
let wanted = false;

/** Asks for the screen to stay awake, and again whenever the page comes back into view. Call from a touch. */
export async function keepAwake(): Promise<void> {
  if (!wanted) {
    wanted = true;
    document.addEventListener('visibilitychange', () => {
      if (document.visibilityState === 'visible') void take();
    });
  }
  await take();
}

async function take(): Promise<void> {
  if (lock !== null && !lock.released) return;
  if (!('wakeLock' in navigator)) {
    // Browsers give it to pages over https only.
    state.value = window.isSecureContext ? 'not_here' : 'no_secure_page';
    return;
  }
  try {
    lock = await navigator.wakeLock.request('screen');
    state.value = 'held';
    lock.addEventListener('release', () => {
      if (document.visibilityState === 'visible') state.value = 'refused';
    });
  } catch {
    state.value = 'refused'; // low battery, or the system said no
  }
}
