import { describe, expect, it } from 'vitest';
import {
  add,
  answer,
  asked,
  change,
  clashes,
  courseNames,
  type Draft,
  EMPTY,
  type Line,
  lacking,
  landingOf,
  plateCount,
  setApart,
  setLanding,
  turnAllergy,
} from '../../src/screens/order/order_model';
import { book, of } from './book';

const evening = { book, open: [], instantOf: (time: string) => `2026-11-27T${time}:00+00:00` };

function ordered(...dishes: string[]): Draft {
  return dishes.reduce((draft, id) => add(draft, of(id)), { ...EMPTY, table: '6' });
}

describe('an order while it is typed', () => {
  it('counts the same dish up on one line', () => {
    const draft = ordered('brill', 'duck', 'brill');
    expect(draft.lines.map((line) => [line.dish, line.qty])).toEqual([
      ['brill', 2],
      ['duck', 1],
    ]);
    expect(plateCount(draft)).toBe(3);
  });

  it('keeps a plate with an allergy on a line of its own', () => {
    const draft = add(add(ordered('brill'), of('brill'), { allergies: ['milk'] }), of('brill'));
    expect(draft.lines.map((line) => [line.qty, line.allergies])).toEqual([
      [2, []],
      [1, ['milk']],
    ]);
  });

  it('takes a line off at a count of nought', () => {
    const draft = ordered('brill', 'duck');
    expect(change(draft, 1, { qty: 0 }).lines.map((line) => line.dish)).toEqual(['duck']);
  });

  it('sets one plate of three apart for its note', () => {
    const { draft, id } = setApart(change(ordered('brill'), 1, { qty: 3 }), 1);
    expect(draft.lines.map((line) => [line.id, line.qty])).toEqual([
      [1, 2],
      [id, 1],
    ]);
  });

  it('sets nothing apart from a single plate', () => {
    const draft = ordered('brill');
    expect(setApart(draft, 1)).toEqual({ draft, id: 1 });
  });

  it('names its courses in the order in which they are eaten, whatever the book says first', () => {
    expect(courseNames(ordered('souffle', 'brill', 'mackerel'), book)).toEqual(['starters', 'mains', 'desserts']);
  });
});

describe('allergies', () => {
  it('must be asked for before the order can be taken', () => {
    expect(lacking(ordered('brill'))).toEqual(['allergies']);
    expect(lacking(answer(ordered('brill'), 'none'))).toEqual([]);
  });

  it('said to be there must stand at a plate', () => {
    const draft = answer(ordered('brill'), 'some');
    expect(lacking(draft)).toEqual(['marks']);
    expect(lacking(turnAllergy(draft, 1, 'milk'))).toEqual([]);
  });

  it('put on a plate overrule "none"', () => {
    const draft = turnAllergy(answer(ordered('brill'), 'none'), 1, 'milk');
    expect(draft.asked).toBe('some');
    expect(answer(draft, 'none').asked).toBe('some');
  });

  it('touched twice are off again', () => {
    const twice = turnAllergy(turnAllergy(ordered('brill'), 1, 'milk'), 1, 'milk');
    expect(twice.lines[0]?.allergies).toEqual([]);
  });

  it('meet what the dish lists, whether written as one or as several', () => {
    const line = (allergy: string) => ({ ...ordered('beetroot').lines[0], allergies: [allergy] }) as Line;
    expect(clashes(line('nuts'), of('beetroot'))).toEqual(['nuts']);
    expect(clashes(line('Tree nut'), of('beetroot'))).toEqual(['Tree nut']);
    expect(clashes(line('mustard'), of('beetroot'))).toEqual([]);
  });
});

describe('how courses land', () => {
  it('is the first as soon as possible and the next after it', () => {
    const draft = ordered('mackerel', 'brill');
    expect(landingOf(draft, 'starters', book)).toEqual({ kind: 'asap' });
    expect(landingOf(draft, 'mains', book)).toEqual({ kind: 'after', after: 'starters', gap_min: 12 });
  });

  it('is after what the table has open already', () => {
    expect(landingOf(ordered('brill'), 'mains', book, ['starters'])).toEqual({
      kind: 'after',
      after: 'starters',
      gap_min: 12,
    });
  });

  it('falls back when the course it follows is taken off', () => {
    const draft = setLanding(ordered('mackerel', 'brill'), 'mains', { kind: 'after', after: 'starters', gap_min: 20 });
    expect(landingOf(draft, 'mains', book)).toMatchObject({ gap_min: 20 });
    expect(landingOf(change(draft, 1, { qty: 0 }), 'mains', book)).toEqual({ kind: 'asap' });
  });

  it('at a time needs a time of day', () => {
    const draft = answer(ordered('brill'), 'none');
    expect(lacking(setLanding(draft, 'mains', { kind: 'time', at: '7' }))).toEqual(['time']);
    expect(lacking(setLanding(draft, 'mains', { kind: 'time', at: '19:40' }))).toEqual([]);
  });
});

describe('what the server is asked', () => {
  it('is a course with its plates and its landing', () => {
    const draft = add(ordered('mackerel'), of('duck'), { qty: 2, note: ' no jus ', seat: '3', allergies: ['milk'] });
    expect(asked(draft, evening)).toEqual([
      {
        course: 'starters',
        plates: [{ dish: 'mackerel', qty: 1, note: '', seat: '', allergies: [] }],
        land: { kind: 'asap' },
      },
      {
        course: 'mains',
        plates: [{ dish: 'duck', qty: 2, note: 'no jus', seat: '3', allergies: ['milk'] }],
        land: { kind: 'after', after: 'starters', gap: '12m' },
      },
    ]);
  });

  it("turns a time of day into this evening's instant", () => {
    const draft = setLanding(ordered('duck'), 'mains', { kind: 'time', at: '19:40' });
    expect(asked(draft, evening)[0]?.land).toEqual({ kind: 'time', at: '2026-11-27T19:40:00+00:00' });
  });
});
