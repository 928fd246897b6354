import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { AGAIN_MS, PAUSE_MS, type Question, Quoter } from '../../src/screens/order/quoter';
import type { Problem, Quote } from '../../src/wire/messages';

const question = (table: string): Question => ({
  table,
  courses: [
    { course: 'mains', plates: [{ dish: 'duck', qty: 1, note: '', seat: '', allergies: [] }], land: { kind: 'asap' } },
  ],
});
const quote: Quote = { now: '2026-11-27T19:30:00+00:00', courses: [], delays: [], cannot: [], warnings: [] };

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

describe('a quote', () => {
  it('is asked for once typing pauses, not at every key', async () => {
    const ask = vi.fn(async () => quote);
    const quoter = new Quoter(ask, () => Date.now());
    for (const table of ['1', '12', '123']) {
      quoter.wonder(question(table));
      await vi.advanceTimersByTimeAsync(PAUSE_MS - 1);
    }
    expect(ask).not.toHaveBeenCalled();
    await vi.advanceTimersByTimeAsync(1);
    expect(ask).toHaveBeenCalledTimes(1);
    expect(quoter.quoted.value).toMatchObject({ kind: 'answer', of: { table: '123' } });
    expect(quoter.asking.value).toBe(false);
  });

  it('that has gone stale is told to stop and never shown', async () => {
    const stopped: string[] = [];
    const answers: ((quote: Quote) => void)[] = [];
    const quoter = new Quoter(
      ({ table }, stop) => {
        stop.addEventListener('abort', () => stopped.push(table));
        return new Promise((resolve) => answers.push(resolve));
      },
      () => Date.now(),
    );
    quoter.wonder(question('1'));
    await vi.advanceTimersByTimeAsync(PAUSE_MS);
    quoter.wonder(question('2'));
    await vi.advanceTimersByTimeAsync(PAUSE_MS);
    answers[1]?.(quote);
    answers[0]?.(quote);
    await vi.advanceTimersByTimeAsync(0);
    expect(stopped).toEqual(['1']);
    expect(quoter.quoted.value).toMatchObject({ of: { table: '2' } });
  });

  it('is nothing for an order with nothing on it', async () => {
    const ask = vi.fn(async () => quote);
    const quoter = new Quoter(ask, () => Date.now());
    quoter.wonder({ table: '1', courses: [] });
    await vi.advanceTimersByTimeAsync(PAUSE_MS);
    expect(ask).not.toHaveBeenCalled();
    expect(quoter.quoted.value).toEqual({ kind: 'nothing' });
  });

  it('says when the kitchen cannot be reached or refuses', async () => {
    const problem: Problem = {
      type: 'x',
      title: 'x',
      status: 422,
      detail: 'no such dish',
      code: 'unknown-dish',
      faults: [],
    };
    const ask = vi.fn().mockRejectedValueOnce(new Error('no network')).mockResolvedValueOnce(problem);
    const quoter = new Quoter(ask, () => Date.now());
    quoter.wonder(question('1'));
    await vi.advanceTimersByTimeAsync(PAUSE_MS);
    expect(quoter.quoted.value.kind).toBe('unreachable');
    quoter.wonder(question('2'));
    await vi.advanceTimersByTimeAsync(PAUSE_MS);
    expect(quoter.quoted.value).toMatchObject({ kind: 'problem', problem: { detail: 'no such dish' } });
  });

  it('is asked for again while the kitchen moves on, but not at every step it makes', async () => {
    const ask = vi.fn(async () => quote);
    const quoter = new Quoter(ask, () => Date.now());
    quoter.wonder(question('1'));
    await vi.advanceTimersByTimeAsync(PAUSE_MS);
    quoter.again();
    await vi.advanceTimersByTimeAsync(AGAIN_MS - 1);
    quoter.again();
    expect(ask).toHaveBeenCalledTimes(1);
    await vi.advanceTimersByTimeAsync(1);
    quoter.again();
    expect(ask).toHaveBeenCalledTimes(2);
  });
});
