import { describe, expect, it } from 'vitest';
import { isQuiet } from '../../src/alarm/settings';

describe('quiet hours', () => {
  it('run from their first minute to the one before their last', () => {
    const hours = { quiet_from: '15:00', quiet_to: '17:00' };
    expect(['14:59', '15:00', '16:59', '17:00'].map((time) => isQuiet(time, hours))).toEqual([
      false,
      true,
      true,
      false,
    ]);
  });

  it('may go over midnight', () => {
    const hours = { quiet_from: '22:30', quiet_to: '07:00' };
    expect(['22:29', '22:30', '00:10', '06:59', '07:00'].map((time) => isQuiet(time, hours))).toEqual([
      false,
      true,
      true,
      true,
      false,
    ]);
  });

  it('are none where an end is missing or both are the same', () => {
    expect(isQuiet('23:00', { quiet_from: '22:00', quiet_to: '' })).toBe(false);
    expect(isQuiet('23:00', { quiet_from: '23:00', quiet_to: '23:00' })).toBe(false);
  });
});
