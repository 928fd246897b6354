import { expect, test } from 'vitest';
import { atTable, dishLine, loadsOf, shortName } from '../../src/board/course';
import { note } from '../score/notes';

test('a dish is called by what it is built on', () => {
  expect(shortName('Brill, mussels, fennel, cider sauce')).toBe('Brill');
  const dish = { dish: 'lamb', name: 'Lamb rump, aubergine', qty: 2, note: 'no jus', seat: '', allergies: [] };
  expect(dishLine(dish)).toBe('2 Lamb rump (no jus)');
});

test('an allergy beside its own table need not name it, and loses nothing else', () => {
  const allergy = { words: 'NUT · seat 2 · table 6', dish: 'Crab custard', table: '6', cross_contact: '' };
  expect(atTable(allergy)).toBe('NUT · seat\u00a02');
  expect(atTable({ ...allergy, table: '9' })).toBe('NUT · seat\u00a02 · table\u00a06');
});

test('a load begins with its first step, is ready with its last, and has begun once anything was started', () => {
  const loads = loadsOf([
    note('duck', 0, 780, { state: 'done' }),
    note('duck', 780, 960, { state: 'planned' }),
    note('leaves', 900, 920),
  ]);
  expect(loads.map((load) => [load.load_id, load.ready_s - load.begin_s, load.begun])).toEqual([
    ['duck', 960, true],
    ['leaves', 20, false],
  ]);
});
