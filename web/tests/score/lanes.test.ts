import { describe, expect, test } from 'vitest';
import { columnsOf, joinedBars, lanesOf, lineCount, stationLanes } from '../../src/parts/score/lanes';
import { at, note, T } from './notes';

describe('by table', () => {
  test('a load is a lane, the one that begins first on top, its notes in order', () => {
    const lanes = lanesOf([note('leaves', 400, 420), note('fish', 240, 300), note('fish', 0, 240)], T(0));
    expect(lanes.map((lane) => lane.id)).toEqual(['fish', 'leaves']);
    expect(lanes[0]?.bars.map((bar) => bar.from_s - T(0))).toEqual([0, 240]);
  });

  test('the tail runs from the last note to the landing, the track to where it stops keeping', () => {
    const last = { last: true, stands_until: at(450), keeps_until: at(420) };
    const [lane] = lanesOf([note('fritter', 200, 300, last)], T(0));
    expect(lane?.tail).toEqual({ from_s: T(300), to_s: T(450) });
    expect(lane?.track).toEqual({ from_s: T(300), to_s: T(420) });
  });

  test('what lands the moment it is done has no tail', () => {
    const [lane] = lanesOf([note('foam', 200, 300, { last: true, stands_until: at(300) })], T(0));
    expect(lane?.tail).toBeNull();
  });

  test('a running step that is late reaches to now, a late one not begun stays where it was told', () => {
    const [running] = lanesOf([note('fish', 0, 240, { state: 'started', late: true })], T(260));
    expect(running?.bars[0]?.to_s).toBe(T(260));
    const [waiting] = lanesOf([note('fish', 0, 240, { state: 'announced', late: true })], T(260));
    expect(waiting?.bars[0]?.to_s).toBe(T(240));
  });
});

describe('falling', () => {
  test('loads that go in together are one note with all their portions', () => {
    const together = { dish: 'risotto', component: 'fritter', joined: ['6'] };
    const bars = joinedBars(
      [
        note('4', 10, 70, { ...together, portions: 2 }),
        note('6', 10, 70, { ...together, portions: 3, joined: ['4'] }),
        note('9', 10, 70, { dish: 'custard', component: 'fritter', portions: 1 }),
      ],
      T(0),
    );
    expect(bars.map((bar) => bar.portions).sort()).toEqual([1, 5]);
  });

  test('two that merely start together and share no basket stay two', () => {
    const same = { dish: 'risotto', component: 'rice' };
    expect(joinedBars([note('4', 10, 70, same), note('6', 10, 70, same)], T(0))).toHaveLength(2);
  });

  test('what overlaps stands side by side, what follows falls in the same column', () => {
    const bars = joinedBars([note('a', 0, 60), note('b', 30, 90), note('c', 60, 100), note('a', 90, 120)], T(0));
    const columns = columnsOf(bars).map((one) => [one.bar.note.id, one.column]);
    expect(columns).toEqual([
      ['a/0', 0],
      ['b/30', 1],
      ['c/60', 0],
      ['a/90', 1],
    ]);
  });

  test('no two bars of one column ever overlap', () => {
    const bars = joinedBars(
      Array.from({ length: 60 }, (_, i) => note(`l${i % 9}`, (i * 37) % 300, ((i * 37) % 300) + 20 + (i % 5) * 15)),
      T(0),
    );
    const placed = columnsOf(bars);
    for (const [i, one] of placed.entries())
      for (const two of placed.slice(i + 1))
        if (one.column === two.column) expect(two.bar.from_s).toBeGreaterThanOrEqual(one.bar.to_s);
  });
});

describe('by station', () => {
  test('loads of several tables lie on as few lines as they need, each with its table', () => {
    const lanes = stationLanes(
      [note('a', 0, 100, { table: '4' }), note('b', 50, 150, { table: '6' }), note('c', 106, 200, { table: '9' })],
      T(0),
    );
    expect(lanes.map((lane) => [lane.tables, lane.row])).toEqual([
      ['4', 0],
      ['6', 1],
      ['9', 0],
    ]);
    expect(lineCount([note('a', 0, 100), note('b', 50, 150), note('c', 106, 200)])).toBe(2);
  });

  test('two loads less than six seconds apart are on lines of their own, so that they are told apart', () => {
    const lanes = stationLanes([note('a', 0, 100), note('b', 105, 200)], T(0));
    expect(lanes.map((lane) => lane.row)).toEqual([0, 1]);
  });

  test('what goes in together for two tables is one load with both tables and all portions', () => {
    const together = { joined: ['6'], dish: 'risotto', component: 'fritter' };
    const lanes = stationLanes(
      [note('x', 0, 90, { ...together, table: '4' }), note('y', 0, 90, { ...together, joined: ['4'], table: '6' })],
      T(0),
    );
    expect(lanes).toHaveLength(1);
    expect(lanes[0]?.tables).toBe('4, 6');
    expect(lanes[0]?.bars[0]?.portions).toBe(4);
  });

  test('words of a load stay between its neighbours on the line', () => {
    const [first, second] = stationLanes([note('a', 0, 100), note('b', 200, 300)], T(0));
    expect(first?.before_s).toBe(T(200));
    expect(second?.after_s).toBe(T(100));
  });
});
