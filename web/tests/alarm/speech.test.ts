import { describe, expect, it } from 'vitest';
import { callNumber, callTable, cueLine } from '../../src/alarm/speech';

const fritters = { component_name: 'fritters', portions: 3, tables: ['6'], do: 'Drop', allergies: [] };

describe('what is spoken', () => {
  it('names station, count, component, table and verb', () => {
    expect(cueLine('Fry', fritters)).toBe('Fry. Three fritters. Table six. Drop.');
  });

  it('says fifteen as one-five, since it is heard as fifty', () => {
    expect(callNumber(15)).toBe('one-five');
    expect(callNumber(12)).toBe('twelve');
  });

  it('names every table of a joined cue', () => {
    expect(cueLine('Fry', { ...fritters, portions: 5, tables: ['4', 'bar 2'] })).toBe(
      'Fry. Five fritters. Tables four, bar two. Drop.',
    );
    expect(callTable('terrace')).toBe('terrace');
  });

  it('ends with the allergies, once each', () => {
    const allergies = [{ words: 'NUT · seat 2 · table 6' }, { words: 'NUT · seat 2 · table 6' }];
    expect(cueLine('Fry', { ...fritters, allergies })).toBe(
      'Fry. Three fritters. Table six. Drop. Allergy: nut, seat two, table six.',
    );
  });
});
