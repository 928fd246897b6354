// @vitest-environment happy-dom
import { describe, expect, test } from 'vitest';
import { KitchenClock, type Source } from '../../src/clock/kitchen_clock';
import { offsetOf } from '../../src/clock/probes';

/** A device whose steady and wall clocks are turned by hand, and a server that is ahead of it by a known amount. */
class Turned implements Source {
  constructor(
    public steadyMs = 5_000,
    public wallMs = 1_764_271_000_000,
  ) {}
  steady(): number {
    return this.steadyMs;
  }
  wall(): number {
    return this.wallMs;
  }
  pass(ms: number): void {
    this.steadyMs += ms;
    this.wallMs += ms;
  }
  sleep(ms: number): void {
    this.wallMs += ms;
  }
}

const AHEAD = 1_000_000_000;

/** One probe: so long there, so long at the server, so long back. Kitchen time runs `speed` times from zero at AHEAD. */
function probe(clock: KitchenClock, device: Turned, there: number, held: number, back: number, speed = 1): void {
  const t1 = clock.mark();
  device.pass(there);
  const t2 = device.steadyMs + AHEAD;
  device.pass(held);
  const t3 = device.steadyMs + AHEAD;
  device.pass(back);
  clock.learn({ t1, t2, t3, kitchen_at_t3: (t3 - AHEAD) * speed, speed }, clock.mark());
}

describe('the offset of two clocks', () => {
  test('is exact when the way there is as long as the way back', () => {
    // server ahead by 100: sent 0, there 10, held 5, back 10
    expect(offsetOf([{ t1: 0, t2: 110, t3: 115, t4: 25 }])).toEqual({ offset_ms: 100, error_ms: 10 });
  });

  test('takes the quickest way there and the quickest way back from different probes', () => {
    // ahead by 100; there 2 and back 40, then there 60 and back 2: either alone is off by 19 or 29, both together by 0
    const one = { t1: 0, t2: 102, t3: 102, t4: 42 };
    const two = { t1: 1000, t2: 1160, t3: 1160, t4: 1062 };
    expect(offsetOf([one, two])?.offset_ms).toBe(100);
    expect(offsetOf([one])?.offset_ms).toBe(81);
    expect(offsetOf([two])?.offset_ms).toBe(129);
  });

  test('is never further off than half of the smallest round trip', () => {
    let seed = 7;
    const random = () => {
      seed = (seed * 16807) % 2147483647; // Park and Miller's minimal standard generator (1988), from memory
      return seed / 2147483647;
    };
    for (let round = 0; round < 200; round++) {
      const probes = Array.from({ length: 20 }, (_, i) => {
        const [there, back] = [random() * 300, random() * 300];
        const t1 = i * 1000;
        return { t1, t2: t1 + there + 100, t3: t1 + there + 103, t4: t1 + there + 3 + back };
      });
      const found = offsetOf(probes);
      expect(Math.abs((found?.offset_ms ?? 0) - 100)).toBeLessThanOrEqual((found?.error_ms ?? 0) + 1e-9);
    }
  });

  test('is unknown before the first answer', () => {
    expect(offsetOf([])).toBeNull();
  });
});

describe('the kitchen clock on a device', () => {
  test("is the device's own until the server has answered", () => {
    const device = new Turned();
    const clock = new KitchenClock(device);
    expect(clock.now()).toBe(device.wallMs);
    expect(clock.error_ms).toBeNull();
  });

  test('follows the server however wrong the device is', () => {
    const device = new Turned(5_000, 0);
    const clock = new KitchenClock(device);
    probe(clock, device, 8, 2, 8);
    expect(clock.now()).toBeCloseTo(device.steadyMs, 6);
    device.pass(60_000);
    expect(clock.now()).toBeCloseTo(device.steadyMs, 6);
    expect(clock.error_ms).toBe(8);
  });

  test('runs as much faster as the server says', () => {
    const device = new Turned();
    const clock = new KitchenClock(device);
    probe(clock, device, 5, 0, 5, 10);
    const before = clock.now();
    device.pass(1_000);
    expect(clock.now() - before).toBeCloseTo(10_000, 6);
  });

  test('does not move when somebody sets the clock of the device back or forth a little', () => {
    const device = new Turned();
    const clock = new KitchenClock(device);
    probe(clock, device, 5, 0, 5);
    const before = clock.now();
    device.wallMs -= 3_600_000;
    clock.noticeSleep();
    device.wallMs += 400;
    clock.noticeSleep();
    expect(clock.now()).toBe(before);
  });

  test('catches up by the wall clock when the device has slept', () => {
    const device = new Turned();
    const clock = new KitchenClock(device);
    probe(clock, device, 5, 0, 5);
    const before = clock.now();
    device.sleep(90_000);
    expect(clock.now()).toBe(before);
    clock.noticeSleep();
    expect(clock.now() - before).toBeCloseTo(90_000, 6);
  });

  test('learns anew after sleep, and what it learnt before stays in force until then', () => {
    const device = new Turned();
    const clock = new KitchenClock(device);
    probe(clock, device, 5, 0, 5);
    device.sleep(90_000);
    clock.startRound();
    const provisional = clock.now();
    expect(provisional).toBeGreaterThan(device.steadyMs + 80_000);
    // the server went on meanwhile: now it is ahead of the steady clock by what was slept
    const t1 = clock.mark();
    device.pass(10);
    const server = device.steadyMs + 90_000 + AHEAD;
    clock.learn({ t1, t2: server, t3: server, kitchen_at_t3: server - AHEAD, speed: 1 }, clock.mark());
    expect(Math.abs(clock.now() - (device.steadyMs + 90_000))).toBeLessThanOrEqual(5);
  });

  test('keeps the thirty latest probes of a round', () => {
    const device = new Turned();
    const clock = new KitchenClock(device);
    probe(clock, device, 1, 0, 1); // the quickest, soon forgotten
    for (let i = 0; i < 30; i++) probe(clock, device, 30, 0, 30);
    expect(clock.error_ms).toBe(30);
  });
});
