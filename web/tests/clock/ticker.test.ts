// @vitest-environment happy-dom
import { afterEach, beforeEach, expect, test, vi } from 'vitest';

beforeEach(() => {
  vi.resetModules();
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'Date', 'performance'] });
  vi.setSystemTime(1_764_271_000_250);
});
afterEach(() => {
  vi.useRealTimers();
});

test('the ticker changes just after the kitchen second does, once a second', async () => {
  const { tick, wind } = await import('../../src/clock/kitchen_clock');
  wind();
  expect(tick.value).toBe(1_764_271_000);
  vi.advanceTimersByTime(749);
  expect(tick.value).toBe(1_764_271_000);
  vi.advanceTimersByTime(5);
  expect(tick.value).toBe(1_764_271_001);
  const seen: number[] = [];
  tick.subscribe((second) => seen.push(second));
  vi.advanceTimersByTime(10_000);
  expect(seen).toEqual(Array.from({ length: 11 }, (_, i) => 1_764_271_001 + i));
});

test('a clock ten times as fast ticks ten times a second', async () => {
  const { kitchenClock, tick, wind } = await import('../../src/clock/kitchen_clock');
  const t = performance.now();
  kitchenClock.learn({ t1: t, t2: t, t3: t, kitchen_at_t3: 50_000, speed: 10 }, t);
  wind();
  expect(tick.value).toBe(50);
  vi.advanceTimersByTime(1_010);
  expect(tick.value).toBe(60);
});
