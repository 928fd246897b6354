import { english } from './english';

type Forms = { readonly other: string } & { readonly [category in Intl.LDMLPluralRule]?: string };
type Text = string | Forms;
type Catalogue = typeof english;

/** The name of a text in the catalogue. */
export type Key = keyof Catalogue;

type TextOf<K extends Key> = Catalogue[K] extends string
  ? Catalogue[K]
  : Catalogue[K][keyof Catalogue[K]] extends infer S extends string
    ? S
    : never;
type Holes<T extends string> = T extends `${string}{${infer H}}${infer Rest}` ? H | Holes<Rest> : never;
type Values<K extends Key> = Record<Holes<TextOf<K>> | (Catalogue[K] extends string ? never : 'n'), string | number>;
type Given<K extends Key> = [keyof Values<K>] extends [never] ? [] : [values: Values<K>];

/** BCP 47 tag of the catalogue in use: for `lang`, plural rules and speech. */
export const language = 'en-GB';

const plural = new Intl.PluralRules(language);

/**
 * The text of a key, its holes filled: `say("lands", { time: "19:42" })`. Missing values are a type error; a text
 * with plural forms takes `n`.
 */
export function say<K extends Key>(key: K, ...given: Given<K>): string {
  const values = (given[0] ?? {}) as Record<string, string | number>;
  const text: Text = english[key];
  const form = typeof text === 'string' ? text : (text[plural.select(Number(values.n))] ?? text.other);
  return form.replace(/\{(\w+)\}/g, (hole, name: string) => String(values[name] ?? hole));
}

/** Several things in a row as people say them: "4, 6 and 9". */
export function list(things: readonly string[]): string {
  return new Intl.ListFormat(language, { type: 'conjunction' }).format(things);
}
