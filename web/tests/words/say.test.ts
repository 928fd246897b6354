import { describe, expect, it } from 'vitest';
import { english } from '../../src/words/english';
import { common } from '../../src/words/english/common';
import { front } from '../../src/words/english/front';
import { order } from '../../src/words/english/order';
import { pass } from '../../src/words/english/pass';
import { sheets } from '../../src/words/english/sheets';
import { station } from '../../src/words/english/station';
import { list, say } from '../../src/words/say';

describe('words', () => {
  it('fills the holes of a text', () => {
    expect(say('lands', { time: '19:42' })).toBe('lands 19:42');
  });

  it('says one plate and two plates', () => {
    expect(say('plates', { n: 1 })).toBe('1 plate');
    expect(say('plates', { n: 2 })).toBe('2 plates');
  });

  it('joins a row of tables as people say it', () => {
    expect(list(['4'])).toBe('4');
    expect(list(['4', '6', '9'])).toMatch(/^4, 6,? and 9$/);
  });

  it('names no text twice over all pages', () => {
    const count = [common, pass, station, order, front, sheets].reduce(
      (sum, part) => sum + Object.keys(part).length,
      0,
    );
    expect(Object.keys(english)).toHaveLength(count);
  });
});
