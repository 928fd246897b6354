import type { english } from './english';
import type { sheets } from './english/sheets';

/** One string for each plural category that a language tells apart (`Intl.PluralRules`), chosen by the value `n`. */
export type Forms = { readonly other: string } & { readonly [category in Intl.LDMLPluralRule]?: string };

export type Text = string | Forms;

type Catalogue = typeof english;

/** The name of a text in the catalogue. */
export type Key = keyof Catalogue;

/** Every text of every page in another language: none left out, none invented, plural forms where English has them. */
export type Translation = { readonly [K in Key]: Catalogue[K] extends string ? string : Forms };

/** The part of a translation that is kept in a file of its own: what sheets and the book say. */
export type Sheets = Pick<Translation, keyof typeof sheets>;

type TextOf<K extends Key> = Catalogue[K] extends string
  ? Catalogue[K]
  : Catalogue[K][keyof Catalogue[K]] extends infer S extends string
    ? S
    : never;
type Holes<T extends string> = T extends `${string}{${infer H}}${infer Rest}` ? H | Holes<Rest> : never;
type Values<K extends Key> = Record<Holes<TextOf<K>> | (Catalogue[K] extends string ? never : 'n'), string | number>;

/** What a text has to be given. */
export type Given<K extends Key> = [keyof Values<K>] extends [never] ? [] : [values: Values<K>];
