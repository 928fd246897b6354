import { describe, expect, it } from 'vitest';
import { place } from '../../src/screens/order/faults';
import { add, EMPTY } from '../../src/screens/order/order_model';
import type { Fault, Problem } from '../../src/wire/messages';
import { book, of } from './book';

const draft = ['brill', 'mackerel', 'duck'].reduce((order, dish) => add(order, of(dish)), EMPTY);

function refusal(...faults: Fault[]): Problem {
  return { type: 'x', title: 'Refused', status: 400, detail: 'in words', code: 'bad-message', faults };
}

describe('a refusal', () => {
  it('is shown at the line it is about, whichever course that is in', () => {
    // Courses go out as starters, mains: the second plate of the second course is the duck, line 3.
    const where = 'command.courses[1].plates[1].note';
    const placed = place(refusal({ where, what: 'too long', cure: 'shorten it' }), draft, book);
    expect(placed.lines.get(3)).toEqual(['too long; shorten it']);
    expect(placed.elsewhere).toEqual([]);
  });

  it('is shown at its course or at the table', () => {
    const placed = place(
      refusal(
        { where: 'courses.0.land.at', what: 'no time', cure: '' },
        { where: 'table', what: 'a slash', cure: 'leave it out' },
      ),
      draft,
      book,
    );
    expect(placed.courses.get('starters')).toEqual(['no time']);
    expect(placed.table).toEqual(['a slash; leave it out']);
  });

  it('without a field is said in its own words', () => {
    expect(place(refusal(), draft, book).elsewhere).toEqual(['in words']);
    expect(place(refusal({ where: 'allergies_asked', what: 'not asked', cure: '' }), draft, book).elsewhere).toEqual([
      'not asked',
    ]);
    expect(place(null, draft, book).elsewhere).toEqual([]);
  });
});
