import { describe, expect, it } from 'vitest';
import { FOURTEEN } from '../../src/board/allergens';
import { find, readCalled } from '../../src/screens/order/called_line';
import { book } from './book';

describe('a called line', () => {
  it('has its count first, last or stuck to the dish', () => {
    for (const text of ['2 duck', 'duck 2', '2duck', '2x duck']) {
      expect(readCalled(text)).toMatchObject({ qty: 2, words: 'duck' });
    }
    expect(readCalled('duck').qty).toBe(1);
  });

  it('has allergies, seat and note behind their marks', () => {
    expect(readCalled('1 duck !mil !tree @2 ,no jus, please')).toEqual({
      qty: 1,
      words: 'duck',
      allergies: ['milk', 'tree nuts'],
      seat: '2',
      note: 'no jus, please',
    });
  });

  it('keeps an allergy that fits none or several of the fourteen as it was typed', () => {
    expect(readCalled('duck !nuts').allergies).toEqual(['nuts']);
    expect(readCalled('duck !m').allergies).toEqual(['m']);
    expect(readCalled('duck !kiwi').allergies).toEqual(['kiwi']);
  });

  it('never means nought', () => {
    expect(readCalled('0 duck').qty).toBe(1);
  });
});

describe('finding a dish', () => {
  it('goes by the beginning of its name first', () => {
    expect(find('br', book)[0]?.dish).toBe('brill');
    expect(find('lem', book)[0]?.dish).toBe('lemon-cream');
  });

  it('goes by any word and by components, and needs no accents', () => {
    expect(find('fenn', book).map((one) => one.dish)).toEqual(['brill']);
    expect(find('souffle', book).map((one) => one.dish)).toEqual(['souffle']);
    expect(find('rye', book).map((one) => one.dish)).toEqual(['mackerel']);
  });

  it('needs every word to fit', () => {
    expect(find('saf ris', book).map((one) => one.dish)).toEqual(['risotto']);
    expect(find('saf duck', book)).toEqual([]);
  });

  it('shows the whole book for no words', () => {
    expect(find('', book)).toHaveLength(book.length);
  });
});

describe('the allergens to choose from', () => {
  // Regulation (EU) No 1169/2011, Annex II, numbered there 1 to 14 (from memory; it also excepts some derived products).
  it('are the fourteen of the regulation in its order', () => {
    const annex = [
      'cereals containing gluten',
      'crustaceans',
      'eggs',
      'fish',
      'peanuts',
      'soybeans',
      'milk',
      'nuts',
      'celery',
      'mustard',
      'sesame seeds',
      'sulphur dioxide and sulphites',
      'lupin',
      'molluscs',
    ];
    const said: Record<string, string> = { soybeans: 'soya', nuts: 'tree nuts', eggs: 'egg' };
    expect(FOURTEEN).toHaveLength(14);
    for (const [place, full] of annex.entries()) expect(said[full] ?? full).toContain(FOURTEEN[place]);
  });
});
