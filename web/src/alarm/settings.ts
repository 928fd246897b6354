import { effect, signal } from '@preact/signals';

/** What the cook of this device wants to hear and feel; kept on the device. */
export interface AlarmSettings {
  readonly sound: boolean;
  readonly speech: boolean;
  readonly vibration: boolean;
  /** Of tones and speech, 0.1 to 1. */
  readonly volume: number;
  /** Times of day (`22:30`) between which nothing sounds or speaks; empty: no such hours. */
  readonly quiet_from: string;
  readonly quiet_to: string;
}

const PLACE = 'kitchen-timer alarm';
const AT_FIRST: AlarmSettings = {
  sound: true,
  speech: false,
  vibration: true,
  volume: 1,
  quiet_from: '',
  quiet_to: '',
};

export const alarmSettings = signal<AlarmSettings>(read());

effect(() => {
  try {
    localStorage.setItem(PLACE, JSON.stringify(alarmSettings.value));
  } catch {
    // A device that keeps nothing asks again next time.
  }
});

/** Turns one of them over. */
export function turnOver(which: 'sound' | 'speech' | 'vibration'): void {
  set({ [which]: !alarmSettings.value[which] });
}

export function set(to: Partial<AlarmSettings>): void {
  alarmSettings.value = { ...alarmSettings.value, ...to };
}

/**
 * Whether a time of day (`23:10`) lies in the quiet hours: from the first to before the second, over midnight where the
 * first is the later. Cues are shown and shake then; they make no noise.
 */
export function isQuiet(
  time: string,
  { quiet_from, quiet_to }: Pick<AlarmSettings, 'quiet_from' | 'quiet_to'>,
): boolean {
  if (quiet_from === '' || quiet_to === '' || quiet_from === quiet_to) return false;
  return quiet_from < quiet_to ? time >= quiet_from && time < quiet_to : time >= quiet_from || time < quiet_to;
}

function read(): AlarmSettings {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(PLACE) ?? '{}');
    return { ...AT_FIRST, ...(kept as Partial<AlarmSettings>) };
  } catch {
    return AT_FIRST;
  }
}
