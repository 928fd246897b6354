import { describe, expect, it } from 'vitest';
import {
  actionsNow,
  againChoices,
  bigOne,
  cueWords,
  leftS,
  notesNow,
  runningSteps,
  stillOpen,
  type Tap,
} from '../../src/screens/station/station_model';
import { action, at, board, ms, note } from './station_board';

const SIX = '6/mains/risotto/fritter/1/0';
const NINE = '9/mains/risotto/fritter/1/0';
const TURN = '6/mains/brill/brill/1/1';
const SKIN = '6/mains/brill/brill/1/0';

const drop = action('start', 60, [SIX]);
const started = (at_s: number, what = drop): Tap => ({ action: what, act: 'started', at_ms: ms(at_s) });

describe('a station out of touch', () => {
  it('shows no more what was tapped', () => {
    expect(actionsNow(board([drop], []), [started(60)])).toEqual([]);
  });

  it('cues the end of what was started, as long after the tap as it takes', () => {
    const lift = action('finish', 210, [SIX], { running: false });
    expect(actionsNow(board([drop, lift], []), []).map((one) => one.kind)).toEqual(['start']);
    const late = actionsNow(board([drop, lift], []), [started(72)]);
    expect(late).toMatchObject([{ kind: 'finish', due_at: at(222), heads_up_at: at(207), running: true }]);
    const early = actionsNow(board([drop, lift], []), [started(50)]);
    expect(early).toMatchObject([{ kind: 'finish', due_at: at(200), running: true }]);
  });

  it('shows as played at once what was tapped', () => {
    const [played] = notesNow(board([drop], [note(SIX, 60, 210)]), [started(72)]);
    expect(played).toMatchObject({ state: 'started', start_at: at(72), end_at: at(222) });
  });

  it('pushes what follows in the load by as much as its start was late', () => {
    const skin = action('start', 60, [SKIN], { takes_s: 240 });
    const turn = action('start', 300, [TURN], { do: 'Turn' });
    const [late] = actionsNow(board([skin, turn], [note(SKIN, 60, 300, { hands: 'start' })]), [started(85, skin)]);
    expect(late?.due_at).toBe(at(325));
    const [early] = actionsNow(board([skin, turn], [note(SKIN, 60, 300, { hands: 'start' })]), [started(55, skin)]);
    expect(early?.due_at).toBe(at(300));
  });

  it('gives thirty seconds more at once', () => {
    const lift = action('finish', 210, [SIX]);
    const actions = actionsNow(board([lift], []), [{ action: lift, act: 'more', at_ms: ms(200) }]);
    expect(actions[0]?.due_at).toBe(at(240));
  });

  it('is done with an end that it cued itself', () => {
    const lift = action('finish', 210, [SIX], { running: false });
    const taps: Tap[] = [started(60), { action: action('finish', 210, [SIX]), act: 'done', at_ms: ms(212) }];
    expect(actionsNow(board([drop, lift], [note(SIX, 60, 210)]), taps)).toEqual([]);
  });

  it('keeps the other tables of a joined cue when the tap was of one', () => {
    const joined = action('start', 60, [SIX, NINE]);
    expect(actionsNow(board([joined], []), [started(60)])[0]?.steps).toEqual([NINE]);
  });
});

describe('taps', () => {
  it('stay until they are acknowledged and the board has got so far', () => {
    const taps = [{ seq: null }, { seq: 9 }, { seq: 11 }];
    expect(stillOpen(taps, board([], [], 10))).toEqual([{ seq: null }, { seq: 11 }]);
    expect(stillOpen(taps, null)).toHaveLength(3);
  });
});

describe('the big place', () => {
  const lift = action('finish', 210, [NINE]);

  it('has the next by due time, or what was tapped up while that is there', () => {
    expect(bigOne([drop, lift], null)).toBe(drop);
    expect(bigOne([drop, lift], lift.id)).toBe(lift);
    expect(bigOne([drop], lift.id)).toBe(drop);
    expect(bigOne([], null)).toBeNull();
  });

  it('counts to nought on the due second and up from there', () => {
    expect(leftS(drop, ms(59) / 1000)).toBe(1);
    expect(leftS(drop, ms(60) / 1000)).toBe(0);
    expect(leftS(drop, ms(61) / 1000)).toBe(-1);
  });

  it('says verb and component in six words at most and never cuts the verb', () => {
    const long = action('start', 0, [SIX], { do: 'Skin side down flat', component_name: 'Line caught winter brill' });
    expect(cueWords(long)).toEqual({ verb: 'Skin side down flat', component: 'Line caught' });
    expect(cueWords(drop)).toEqual({ verb: 'Drop', component: 'Fritter' });
  });
});

describe('what runs under an action', () => {
  it('is the step itself at its end', () => {
    expect(runningSteps(action('finish', 210, [SIX]), [])).toEqual([SIX]);
    expect(runningSteps(drop, [note(SIX, 60, 210)])).toEqual([]);
  });

  it('is the side before at a turn', () => {
    const notes = [note(SKIN, 60, 300, { state: 'started' }), note(TURN, 300, 360)];
    expect(runningSteps(action('start', 300, [TURN]), notes)).toEqual([SKIN]);
  });

  it('is cooked again load by load', () => {
    const lift = action('finish', 210, [SIX, NINE]);
    const notes = [note(SIX, 60, 210, { portions: 3 }), note(NINE, 60, 210)];
    expect(againChoices(lift, notes)).toEqual([
      { load: '6/mains/risotto/fritter/1', portions: 3, component: 'Fritter', table: '6' },
      { load: '9/mains/risotto/fritter/1', portions: 2, component: 'Fritter', table: '9' },
    ]);
  });
});
