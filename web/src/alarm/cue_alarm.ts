import { effect, type ReadonlySignal, signal } from '@preact/signals';
import { kitchenNow, tick } from '../clock/kitchen_clock';
import { timeOfDay } from '../clock/say_time';
import type { ActionView } from '../wire/messages';
import { list, say } from '../words/say';
import { type Heard, NOTHING_HEARD, type Watched, whatSounds } from './cue_watch';
import { alarmSettings, isQuiet } from './settings';
import { cueLine, speak } from './speech';
import { play, type Tone } from './tones';
import { vibrate } from './vibration';

/** What was last announced, in words, for those who listen to the page instead of looking at it. */
export interface Announced {
  readonly words: string;
  /** A heads-up may wait until the reader has finished; a cue may not. */
  readonly urgent: boolean;
}

interface Sounded extends Watched {
  readonly action: ActionView;
}

/**
 * Sounds heads-ups and cues of a station from now on, each on its second of the device's own kitchen clock, in touch
 * with the server or not. Returns what is announced, and the end of it.
 */
export function soundCues(
  station: string,
  stationName: (action: ActionView) => string,
  actions: ReadonlySignal<readonly ActionView[]>,
): { announced: ReadonlySignal<Announced | null>; stop: () => void } {
  const announced = signal<Announced | null>(null);
  let heard = remembered(station);
  const stop = effect(() => {
    void tick.value;
    const watched = actions.value.map(watch);
    const { sounding, heard: next } = whatSounds(watched, heard, kitchenNow());
    if (JSON.stringify(next) !== JSON.stringify(heard)) remember(station, next);
    heard = next;
    if (sounding.cue.length > 0) {
      signalWith('cue');
      const { speech, volume } = alarmSettings.peek();
      if (speech && !quietNow()) {
        for (const { action } of sounding.cue) speak(cueLine(stationName(action), action), volume);
      }
      announced.value = { words: sounding.cue.map(({ action }) => words(action, say('now'))).join('. '), urgent: true };
    } else if (sounding.heads_up.length > 0) {
      signalWith('heads_up');
      announced.value = {
        words: sounding.heads_up.map(({ action, due_ms }) => words(action, soon(due_ms))).join('. '),
        urgent: false,
      };
    }
  });
  return { announced, stop };
}

/** Lets a cook hear and feel a tone as it will come. */
export function signalWith(tone: Tone): void {
  const { sound, vibration, volume } = alarmSettings.peek();
  if (sound && !quietNow()) play(tone, volume);
  if (vibration) vibrate(tone);
}

/** Whether these are this cook's quiet hours, by the kitchen's clock. */
export function quietNow(): boolean {
  return isQuiet(timeOfDay(kitchenNow()), alarmSettings.peek());
}

function watch(action: ActionView): Sounded {
  return {
    id: `${action.kind}:${action.id}`,
    steps: action.steps,
    due_ms: Date.parse(action.due_at),
    heads_up_ms: Date.parse(action.heads_up_at),
    action,
  };
}

function words(action: ActionView, when: string): string {
  const tables = say('tables', { n: action.tables.length, tables: list(action.tables) });
  const line = say('station.announce', {
    verb: action.do,
    portions: action.portions,
    component: action.component_name,
    tables,
    when,
  });
  const allergies = [...new Set(action.allergies.map((allergy) => allergy.words))];
  return allergies.length === 0 ? line : `${line}. ${say('speak.allergy', { allergies: allergies.join('. ') })}`;
}

function soon(due_ms: number): string {
  return say('station.announce_in', { n: Math.max(1, Math.round((due_ms - kitchenNow()) / 1000)) });
}

function placeOf(station: string): string {
  return `kitchen-timer heard ${station}`;
}

function remembered(station: string): Heard {
  try {
    const kept = JSON.parse(sessionStorage.getItem(placeOf(station)) ?? 'null') as Heard | null;
    return kept ?? NOTHING_HEARD;
  } catch {
    return NOTHING_HEARD;
  }
}

function remember(station: string, heard: Heard): void {
  try {
    sessionStorage.setItem(placeOf(station), JSON.stringify(heard));
  } catch {
    // Nothing kept: after a reload a cue of the last half minute may sound a second time.
  }
}
