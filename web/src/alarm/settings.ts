import { effect, signal } from '@preact/signals';

/** What the cook of this device wants to hear and feel; kept on the device. */
export interface AlarmSettings {
  readonly sound: boolean;
  readonly speech: boolean;
  readonly vibration: boolean;
}

const PLACE = 'kitchen-timer alarm';
const AT_FIRST: AlarmSettings = { sound: true, speech: false, vibration: true };

export const alarmSettings = signal<AlarmSettings>(read());

effect(() => {
  try {
    localStorage.setItem(PLACE, JSON.stringify(alarmSettings.value));
  } catch {
    // A device that keeps nothing asks again next time.
  }
});

/** Turns one of them over. */
export function turnOver(which: keyof AlarmSettings): void {
  alarmSettings.value = { ...alarmSettings.value, [which]: !alarmSettings.value[which] };
}

function read(): AlarmSettings {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(PLACE) ?? '{}');
    return { ...AT_FIRST, ...(kept as Partial<AlarmSettings>) };
  } catch {
    return AT_FIRST;
  }
}
