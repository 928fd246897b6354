// @vitest-environment happy-dom
import { afterEach, describe, expect, it } from 'vitest';
import { callNumber, cueLine, voiceFor } from '../../src/alarm/speech';
import { english } from '../../src/words/english';
import { french } from '../../src/words/french';
import { speakIn } from '../../src/words/language';
import { polish } from '../../src/words/polish';
import { say } from '../../src/words/say';
import { spanish } from '../../src/words/spanish';
import type { Key, Text } from '../../src/words/text';

const OTHERS = { spanish: ['es', spanish], french: ['fr', french], polish: ['pl', polish] } as const;

const forms = (text: Text): string[] => (typeof text === 'string' ? [text] : Object.values(text));
const holes = (text: string): string[] => [...new Set(text.match(/\{\w+\}/g) ?? [])].sort();

afterEach(() => speakIn('en'));

describe.each(Object.entries(OTHERS))('%s', (_name, [language, texts]) => {
  it('has the holes of the English text in every form, and no text is empty', () => {
    const wrong = (Object.keys(english) as Key[]).flatMap((key) =>
      forms(texts[key])
        .filter((form) => form.trim() === '' || holes(form).join() !== holes(forms(english[key])[0] ?? '').join())
        .map((form) => `${key}: ${form}`),
    );
    expect(wrong).toEqual([]);
  });

  it('has every plural form that its people tell apart', () => {
    // Categories of the Unicode CLDR, as the browser's own Intl carries them; "many" of es and fr is for millions.
    const categories = new Intl.PluralRules(language).resolvedOptions().pluralCategories;
    const needed = categories.filter((category) => language === 'pl' || category !== 'many');
    expect(Object.keys(texts.plates).sort()).toEqual([...needed].sort());
  });

  it('is what say says once it is chosen', async () => {
    await speakIn(language);
    expect(say('act.started')).toBe(texts['act.started']);
    expect(document.documentElement.lang.slice(0, 2)).toBe(language);
  });
});

describe('a cue', () => {
  it('is spoken in the language of the cook, plural and numbers too', async () => {
    const fritters = { component_name: 'Squid', portions: 3, tables: ['4', '6'], do: 'Drop', allergies: [] };
    await speakIn('es');
    expect(cueLine('Fry', fritters)).toBe('Fry. Tres squid. Mesas cuatro, seis. Drop.');
    await speakIn('pl');
    expect(say('plates', { n: 3 })).toBe('3 talerze');
    expect(say('plates', { n: 5 })).toBe('5 talerzy');
    expect(callNumber(15)).toBe('jeden-pięć');
  });

  it('takes a voice of that language that is on the phone before one that needs the network', () => {
    const voices = [
      { lang: 'en-GB', localService: true },
      { lang: 'pl_PL', localService: false },
      { lang: 'pl-PL', localService: true },
      { lang: 'es-MX', localService: true },
    ];
    expect(voiceFor('pl-PL', voices)).toBe(voices[2]);
    expect(voiceFor('es-ES', voices)).toBe(voices[3]);
    expect(voiceFor('fr-FR', voices)).toBeUndefined();
  });
});
