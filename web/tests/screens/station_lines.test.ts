import { describe, expect, it } from 'vitest';
import { stationsOf, together } from '../../src/screens/station/lines';
import { action, board, note } from './station_board';

const FRITTER = '6/mains/risotto/fritter/1/0';
const FENNEL = '6/mains/brill/fennel/1/0';

describe('a phone that serves two stations', () => {
  it('is at an address that names both, each once', () => {
    expect(stationsOf('fry+garnish')).toEqual(['fry', 'garnish']);
    expect(stationsOf('fry+fry')).toEqual(['fry']);
    expect(stationsOf('fry')).toEqual(['fry']);
  });

  it('has the actions and notes of both on one board, as old as the older', () => {
    const fry = { ...board([action('start', 60, [FRITTER])], [note(FRITTER, 60, 210)], 10), station_name: 'Fry' };
    const garnish = { ...board([action('start', 90, [FENNEL])], [note(FENNEL, 90, 210)], 8), station_name: 'Garnish' };
    const both = together([fry, garnish]);
    expect(both?.actions.map((one) => one.steps[0])).toEqual([FRITTER, FENNEL]);
    expect(both?.notes).toHaveLength(2);
    expect(both?.station_name).toBe('Fry and Garnish');
    // A tap at either is open until both boards have reached its number.
    expect(both?.seq).toBe(8);
  });

  it('changes nothing for one station, and is nothing without any', () => {
    const fry = board([], [], 10);
    expect(together([fry])).toBe(fry);
    expect(together([])).toBeNull();
  });
});
