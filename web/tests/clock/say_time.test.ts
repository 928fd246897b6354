import { expect, test } from 'vitest';
import { countdown, minutes, seconds, timeOfDay, timeWithSeconds } from '../../src/clock/say_time';

test('a countdown is minutes and seconds, hours only when there are any', () => {
  expect([0, 9, 60, 250, 599, 3599, 3600, 3725].map(minutes)).toEqual([
    '0:00',
    '0:09',
    '1:00',
    '4:10',
    '9:59',
    '59:59',
    '1:00:00',
    '1:02:05',
  ]);
});

test('the second before, the second itself and the second after what is due', () => {
  expect(countdown(100, 99)).toEqual({ left_s: 1, text: '0:01', over: false });
  expect(countdown(100, 100)).toEqual({ left_s: 0, text: '0:00', over: false });
  expect(countdown(100, 101)).toEqual({ left_s: -1, text: '0:01', over: true });
});

test("a time of day is the kitchen's, wherever the device thinks it is", () => {
  expect(timeOfDay('2026-11-27T19:42:30+00:00', 'Europe/London')).toBe('19:42');
  expect(timeOfDay('2026-11-27T19:42:30+00:00', 'Europe/Paris')).toBe('20:42');
  expect(timeWithSeconds('2026-11-27T18:42:07Z', 'Europe/Berlin')).toBe('19:42:07');
  expect(timeOfDay('2026-11-28T00:05:00Z', 'Europe/London')).toBe('00:05'); // midnight is 00, not 24
});

test('the night the clocks go back says the hour twice', () => {
  // London leaves summer time on the last Sunday of October at 01:00 UTC (Summer Time Order 2002)
  expect(timeOfDay('2026-10-25T00:30:00Z', 'Europe/London')).toBe('01:30');
  expect(timeOfDay('2026-10-25T01:30:00Z', 'Europe/London')).toBe('01:30');
});

test('instants of every offset are one instant', () => {
  expect(seconds('2026-11-27T19:30:00+00:00')).toBe(seconds('2026-11-27T20:30:00+01:00'));
});
