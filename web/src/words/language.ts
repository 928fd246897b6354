/** Which language the texts are in: this device's choice, kept on it. Dishes and steps are as the book has them. */

import { type ReadonlySignal, signal } from '@preact/signals';
import { english } from './english';
import type { Translation } from './text';

export type Language = 'en' | 'es' | 'fr' | 'pl';

/** Each language under its own name, with its BCP 47 tag for `lang`, plural rules and speech. */
export const LANGUAGES: Readonly<Record<Language, { name: string; tag: string }>> = {
  en: { name: 'English', tag: 'en-GB' },
  es: { name: 'Español', tag: 'es-ES' },
  fr: { name: 'Français', tag: 'fr-FR' },
  pl: { name: 'Polski', tag: 'pl-PL' },
};

const PLACE = 'kitchen-timer language';

const FETCH: Readonly<Record<Language, () => Promise<Translation>>> = {
  en: async () => english,
  es: async () => (await import('./spanish')).spanish,
  fr: async () => (await import('./french')).french,
  pl: async () => (await import('./polish')).polish,
};

interface Spoken {
  readonly language: Language;
  readonly texts: Translation;
}

const now = signal<Spoken>({ language: 'en', texts: english });

/** The language in use and all its texts: they change together. */
export const spoken: ReadonlySignal<Spoken> = now;

function isLanguage(text: string | null): text is Language {
  return text !== null && text in LANGUAGES;
}

/** The language that this device chose; else the first of its browser's that there is; else English. */
export function wantedLanguage(): Language {
  try {
    const kept = localStorage.getItem(PLACE);
    if (isLanguage(kept)) return kept;
  } catch {
    // a browser that keeps nothing: ask its own languages
  }
  const own = typeof navigator === 'undefined' ? [] : (navigator.languages ?? []);
  return own.map((tag) => tag.slice(0, 2)).find(isLanguage) ?? 'en';
}

/** Turns every text into this language; the one before stays where its texts cannot be fetched. */
export async function speakIn(language: Language): Promise<void> {
  try {
    now.value = { language, texts: await FETCH[language]() };
  } catch {
    return; // out of touch, and never fetched before
  }
  document.documentElement.lang = LANGUAGES[language].tag;
}

/** The cook's choice, kept on this device. */
export function chooseLanguage(language: Language): void {
  try {
    localStorage.setItem(PLACE, language);
  } catch {
    // it lasts as long as the page
  }
  void speakIn(language);
}

/** BCP 47 tag of the texts in use. */
export function languageTag(): string {
  return LANGUAGES[now.value.language].tag;
}
