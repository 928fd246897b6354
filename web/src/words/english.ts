import { common } from './english/common';
import { front } from './english/front';
import { order } from './english/order';
import { pass } from './english/pass';
import { sheets } from './english/sheets';
import { station } from './english/station';

/**
 * Every text of every page. A text is a string with holes (`"lands {time}"`), or, where a count changes the words,
 * one string per plural category of the language (`Intl.PluralRules`), chosen by the value `n`.
 */
export const english = { ...common, ...pass, ...station, ...order, ...front, ...sheets } as const;
