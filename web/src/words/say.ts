import { languageTag, spoken } from './language';
import type { Given, Key, Text } from './text';

export type { Key } from './text';

const plurals = new Map<string, Intl.PluralRules>();

function pluralOf(n: number): Intl.LDMLPluralRule {
  const tag = languageTag();
  let rules = plurals.get(tag);
  if (rules === undefined) {
    rules = new Intl.PluralRules(tag);
    plurals.set(tag, rules);
  }
  return rules.select(n);
}

/**
 * The text of a key in the language in use, its holes filled: `say("lands", { time: "19:42" })`. Missing values are a
 * type error; a text with plural forms takes `n`. Read while a page is drawn, it is drawn anew when the language turns.
 */
export function say<K extends Key>(key: K, ...given: Given<K>): string {
  const values = (given[0] ?? {}) as Record<string, string | number>;
  const text: Text = spoken.value.texts[key];
  const form = typeof text === 'string' ? text : (text[pluralOf(Number(values.n))] ?? text.other);
  return form.replace(/\{(\w+)\}/g, (hole, name: string) => String(values[name] ?? hole));
}

/** Several things in a row as people say them: "4, 6 and 9". */
export function list(things: readonly string[]): string {
  return new Intl.ListFormat(languageTag(), { type: 'conjunction' }).format(things);
}
