import { signal } from '@preact/signals';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { BOUNCE_MS, StationDesk, UNDO_MS } from '../../src/screens/station/desk';
import type { Command, Reply, StationBoard } from '../../src/wire/messages';
import { action, at, board, ms, note } from './station_board';

const SIX = '6/mains/risotto/fritter/1/0';
const NINE = '9/mains/risotto/fritter/1/0';
const drop = action('start', 60, [SIX]);
const later = action('start', 300, [NINE]);

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

function desk() {
  const shown = signal<StationBoard | null>(board([drop, later], [note(SIX, 60, 210)], 10));
  const sent: Command[] = [];
  const back: Promise<Reply>[] = [];
  const answers: ((reply: Reply) => void)[] = [];
  const one = new StationDesk({
    board: shown,
    send: (command) => {
      sent.push(command);
      return new Promise((resolve) => answers.push(resolve));
    },
    takeBack: (tap) => {
      back.push(tap);
      return new Promise(() => undefined);
    },
    now_ms: () => ms(61) + 400,
    steady_ms: () => Date.now(),
  });
  return { one, shown, sent, back, answers };
}

describe('a tap at a station', () => {
  it('goes out with its second and moves on at once', () => {
    const { one, sent } = desk();
    one.tap(drop);
    expect(sent).toEqual([{ kind: 'start_steps', steps: [SIX], at: at(61) }]);
    expect(one.big.value?.id).toBe(later.id);
  });

  it('counts once, however often a wet finger bounces', () => {
    const { one, sent } = desk();
    one.tap(drop);
    vi.advanceTimersByTime(BOUNCE_MS - 1);
    one.tap(later);
    expect(sent).toHaveLength(1);
    vi.advanceTimersByTime(1);
    one.tap(later);
    expect(sent).toHaveLength(2);
  });

  it("stays tapped until the board has it, and is then the board's word", async () => {
    const { one, shown, answers } = desk();
    one.tap(drop);
    answers[0]?.({ ok: true, seq: 12, repeated: false });
    await vi.advanceTimersByTimeAsync(0);
    shown.value = board([drop, later], [], 11);
    expect(one.big.value?.id).toBe(later.id);
    shown.value = board([drop, later], [], 12);
    expect(one.big.value?.id).toBe(drop.id);
  });

  it('that is refused comes back with the reason', async () => {
    const { one, answers } = desk();
    one.tap(drop);
    const problem = { type: '', title: '', status: 409, detail: 'It is done already.', code: 'not-now', faults: [] };
    answers[0]?.({ ok: false, problem });
    await vi.advanceTimersByTimeAsync(0);
    expect(one.big.value?.id).toBe(drop.id);
    expect(one.refused.value).toBe('It is done already.');
    expect(one.taken.value).toBeNull();
  });

  it('can be taken back for ten seconds and no longer', () => {
    const { one } = desk();
    one.tap(drop);
    vi.advanceTimersByTime(UNDO_MS - 1);
    expect(one.taken.value).not.toBeNull();
    vi.advanceTimersByTime(1);
    expect(one.taken.value).toBeNull();
  });

  it('taken back is gone here at once, whether or not the server has heard of it', () => {
    const { one, sent, back } = desk();
    one.tap(drop);
    one.undo();
    expect(one.big.value?.id).toBe(drop.id);
    expect(sent).toHaveLength(1);
    expect(back).toHaveLength(1);
    one.undo();
    expect(back).toHaveLength(1);
  });

  it('gives thirty seconds more to what runs and to nothing else', () => {
    const { one, shown, sent } = desk();
    one.more(drop);
    expect(sent).toEqual([]);
    const lift = action('finish', 210, [SIX]);
    shown.value = board([lift], [], 11);
    one.more(lift);
    expect(sent).toEqual([{ kind: 'give_more_time', steps: [SIX], seconds: 30 }]);
    expect(one.big.value?.due_at).toBe(at(240));
  });

  it('cooks one load of a joined cue again and leaves the other', () => {
    const { one, shown, sent } = desk();
    const lift = action('finish', 210, [SIX, NINE]);
    shown.value = board([lift], [], 11);
    one.again(lift, '6/mains/risotto/fritter/1');
    expect(sent).toEqual([{ kind: 'cook_again', load: '6/mains/risotto/fritter/1' }]);
    expect(one.big.value?.steps).toEqual([NINE]);
  });
});
