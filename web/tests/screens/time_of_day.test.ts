import { describe, expect, it } from 'vitest';
import { instantOf } from '../../src/screens/order/time_of_day';

// Offsets of Europe/London from the IANA zone database: summer time ends on 2026-10-25 at 01:00 UTC.
describe('a time of day of a service', () => {
  it("is read in the kitchen's own zone", () => {
    expect(instantOf('2026-11-27', '19:40', 'Europe/London')).toBe('2026-11-27T19:40:00.000Z');
    expect(instantOf('2026-07-03', '19:40', 'Europe/London')).toBe('2026-07-03T18:40:00.000Z');
    expect(instantOf('2026-11-27', '19:40', 'America/New_York')).toBe('2026-11-28T00:40:00.000Z');
  });

  it('before five belongs to the night after the date', () => {
    expect(instantOf('2026-11-27', '00:30', 'Europe/London')).toBe('2026-11-28T00:30:00.000Z');
    expect(instantOf('2026-11-27', '04:59', 'Europe/London')).toBe('2026-11-28T04:59:00.000Z');
    expect(instantOf('2026-11-27', '05:00', 'Europe/London')).toBe('2026-11-27T05:00:00.000Z');
  });

  it('is right on both sides of the night the clocks go back', () => {
    expect(instantOf('2026-10-24', '23:30', 'Europe/London')).toBe('2026-10-24T22:30:00.000Z');
    expect(instantOf('2026-10-24', '03:00', 'Europe/London')).toBe('2026-10-25T03:00:00.000Z');
  });
});
