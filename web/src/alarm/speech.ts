import { languageTag } from '../words/language';
import { say } from '../words/say';

/** Words for a count, as one calls it across a kitchen: "one-five", since fifteen sounds like fifty. */
export function callNumber(n: number): string {
  if (n >= 0 && n <= 12 && Number.isInteger(n)) return say(`number.${n as CalledNumber}`);
  return [...String(n)]
    .map((digit) => (/\d/.test(digit) ? say(`number.${Number(digit) as CalledNumber}`) : digit))
    .join('-');
}

type CalledNumber = 0 | 1 | 2 | 3 | 4 | 5 | 6 | 7 | 8 | 9 | 10 | 11 | 12;

/** A table's name as it is called: "six"; "bar two". */
export function callTable(table: string): string {
  return table.replace(/\d+/g, (digits) => callNumber(Number(digits)));
}

/** What is spoken of one cue. */
export interface Spoken {
  readonly component_name: string;
  readonly portions: number;
  readonly tables: readonly string[];
  readonly do: string;
  readonly allergies: readonly { readonly words: string }[];
}

/** "Fry. Three fritters. Tables four, six. Drop." with the allergies after it, in words. */
export function cueLine(station: string, cue: Spoken): string {
  const tables = cue.tables.map(callTable).join(', ');
  const line = say('speak.cue', {
    n: cue.tables.length,
    station,
    count: asSentence(callNumber(cue.portions)),
    component: cue.component_name.toLowerCase(),
    tables,
    verb: cue.do,
  });
  const allergies = [...new Set(cue.allergies.map((allergy) => allergy.words))].map(callAllergy);
  return allergies.length === 0 ? line : `${line} ${say('speak.allergy', { allergies: allergies.join('. ') })}`;
}

function asSentence(words: string): string {
  return words.charAt(0).toLocaleUpperCase(languageTag()) + words.slice(1);
}

function callAllergy(words: string): string {
  // Capitals are spelled out letter by letter by some voices.
  return callTable(words.toLowerCase()).replaceAll(' · ', ', ');
}

/** Whether this device can speak at all. */
export function canSpeak(): boolean {
  return typeof speechSynthesis !== 'undefined' && typeof SpeechSynthesisUtterance !== 'undefined';
}

/** Speaks a line after those before it, in the language in use; silent where there is no speech. */
export function speak(line: string, volume = 1): void {
  if (!canSpeak()) return;
  const words = new SpeechSynthesisUtterance(line);
  words.lang = languageTag();
  words.voice = voiceFor(words.lang, speechSynthesis.getVoices()) ?? null;
  words.volume = volume;
  words.rate = 1.05;
  speechSynthesis.speak(words);
}

/** A voice of this very tag, else of its language; one on the device before one that needs the network. */
export function voiceFor<V extends Pick<SpeechSynthesisVoice, 'lang' | 'localService'>>(
  tag: string,
  voices: readonly V[],
): V | undefined {
  const same = (voice: V) => voice.lang.replace('_', '-').toLowerCase();
  const fitting = [
    ...voices.filter((voice) => same(voice) === tag.toLowerCase()),
    ...voices.filter((voice) => same(voice).slice(0, 2) === tag.slice(0, 2).toLowerCase()),
  ];
  return fitting.find((voice) => voice.localService) ?? fitting[0];
}

/** Ends what is being said, when its cue has been answered. */
export function hush(): void {
  if (canSpeak()) speechSynthesis.cancel();
}
