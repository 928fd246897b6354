/** Times as the screens say them. Kitchen instants are RFC 3339 text or ms; times of day are in the kitchen's zone. */

import { signal } from '@preact/signals';

/** IANA name of the kitchen's zone; set from /api/kitchen. */
export const kitchenZone = signal('UTC');

const shapes = new Map<string, Intl.DateTimeFormat>();

function shape(zone: string, seconds: boolean): Intl.DateTimeFormat {
  const key = `${zone} ${seconds}`;
  let found = shapes.get(key);
  if (!found) {
    found = new Intl.DateTimeFormat('en-GB', {
      timeZone: zone,
      hour: '2-digit',
      minute: '2-digit',
      ...(seconds && { second: '2-digit' }),
      hourCycle: 'h23',
    });
    shapes.set(key, found);
  }
  return found;
}

/** Whole seconds since 1970 UTC of an instant on the wire. */
export function seconds(instant: string): number {
  return Math.floor(Date.parse(instant) / 1000);
}

/** `19:42`, in the kitchen's zone. */
export function timeOfDay(at: string | number, zone = kitchenZone.value): string {
  return shape(zone, false).format(typeof at === 'number' ? at : Date.parse(at));
}

/** `19:42:07`, in the kitchen's zone. */
export function timeWithSeconds(at: string | number, zone = kitchenZone.value): string {
  return shape(zone, true).format(typeof at === 'number' ? at : Date.parse(at));
}

/** `4:10` of 250 s, `1:02:05` of 3725 s; the sign is left to the words around it. */
export function minutes(of_s: number): string {
  const s = Math.abs(Math.trunc(of_s));
  const pad = (n: number) => String(n).padStart(2, '0');
  const hours = Math.floor(s / 3600);
  const rest = `${Math.floor((s % 3600) / 60)}`;
  return hours > 0 ? `${hours}:${pad(Number(rest))}:${pad(s % 60)}` : `${rest}:${pad(s % 60)}`;
}

export interface Countdown {
  /** Whole seconds left; negative once it is over. */
  left_s: number;
  /** `4:10` left, or how long it has been over. */
  text: string;
  over: boolean;
}

/** What is left of the time to `at_s`, by the ticker's second `now_s`. The due second itself reads `0:00`. */
export function countdown(at_s: number, now_s: number): Countdown {
  const left_s = at_s - now_s;
  return { left_s, text: minutes(left_s), over: left_s < 0 };
}
