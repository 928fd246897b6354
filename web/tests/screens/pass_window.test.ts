import { expect, test } from 'vitest';
import { windowFor } from '../../src/screens/pass/window';

const NOW = Date.parse('2026-11-27T19:30:00Z') / 1000;
const landing = (in_s: number) => ({ landing_at: new Date((NOW + in_s) * 1000).toISOString() });

test('the next three landings are seen, the fourth need not be', () => {
  const courses = [200, 500, 800, 1400].map(landing);
  expect(windowFor(courses, 1120, NOW)).toBeGreaterThan(800);
  expect(windowFor(courses, 1120, NOW)).toBeLessThan(1400);
});

test('a second never takes less than what shows a note of one minute', () => {
  expect(1120 / windowFor([landing(7200)], 1120, NOW)).toBeGreaterThanOrEqual(0.7);
});

test('the scale stays the same while the landings come nearer within a step', () => {
  const lengths = Array.from({ length: 60 }, (_, s) => windowFor([landing(700)], 1120, NOW + s));
  expect(new Set(lengths).size).toBeLessThanOrEqual(2);
});

test('an evening without courses shows a few minutes', () => {
  expect(windowFor([], 1120, NOW)).toBeGreaterThanOrEqual(300);
});
