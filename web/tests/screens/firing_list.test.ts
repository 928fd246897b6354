import { describe, expect, it } from 'vitest';
import { firingList } from '../../src/screens/order/firing_list';
import type { CourseView, NoteView, Quote } from '../../src/wire/messages';
import { at, note } from './station_board';

function course(name: string, lands_s: number, notes: NoteView[]): CourseView {
  return {
    id: `6/${name}`,
    table: '6',
    course: name,
    plates: 2,
    dishes: [],
    allergies: [],
    target_at: at(lands_s),
    landing_at: at(lands_s),
    up_at: at(lands_s + 60),
    late_s: 0,
    cause: '',
    at_pass: false,
    notes,
    checks: [],
    spread_s: null,
    promised_at: null,
    lands_from: null,
    lands_to: null,
    urgent: false,
    away_since: null,
  };
}

const quote: Quote = {
  now: at(0),
  delays: [],
  cannot: [],
  warnings: [],
  courses: [
    course('starters', 300, [
      note('6/starters/crab/foam/1/0', 255, 285, { station: 'garnish', component_name: 'Foam' }),
    ]),
    course('mains', 900, [
      note('6/mains/brill/brill/1/0', 480, 720, { station: 'fish', component_name: 'Brill', do: 'Skin side down' }),
      note('6/mains/brill/brill/2/0', 480, 720, {
        station: 'fish',
        component_name: 'Brill',
        do: 'Skin side down',
        portions: 1,
      }),
      note('6/mains/risotto/fritter/1/0', 740, 890, { component_name: 'Fritter' }),
    ]),
  ],
};

describe('the firing sequence as a list', () => {
  it('counts to the landing of its own course and joins loads that start together', () => {
    const groups = firingList(quote, 'time', ['fish', 'fry', 'garnish']);
    expect(groups.map((group) => group.name)).toEqual(['starters', 'mains']);
    expect(groups[1]?.rows.map((row) => [row.to_landing_s, row.component, row.portions])).toEqual([
      [-420, 'Brill', 3],
      [-160, 'Fritter', 2],
    ]);
    expect(groups[0]?.rows[0]?.to_landing_s).toBe(-45);
  });

  it('goes station by station in the order of the kitchen', () => {
    const groups = firingList(quote, 'station', ['fish', 'fry', 'garnish']);
    expect(groups.map((group) => group.name)).toEqual(['fish', 'fry', 'garnish']);
  });
});
