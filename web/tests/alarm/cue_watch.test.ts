import { describe, expect, it } from 'vitest';
import { type Heard, NOTHING_HEARD, nextSoundAt, type Watched, whatSounds } from '../../src/alarm/cue_watch';

const S = 1000;

function action(due_s: number, steps = ['6/mains/risotto/fritter/1/0'], id = 'start:6'): Watched {
  return { id, steps, due_ms: due_s * S, heads_up_ms: (due_s - 15) * S };
}

/** Plays the clock second by second and writes down what sounded. */
function play(actions: (now_s: number) => Watched[], from_s: number, to_s: number, heard: Heard = NOTHING_HEARD) {
  const told: string[] = [];
  let known = heard;
  for (let now_s = from_s; now_s <= to_s; now_s += 1) {
    const { sounding, heard: next } = whatSounds(actions(now_s), known, now_s * S);
    known = next;
    for (const one of sounding.heads_up) told.push(`${now_s} heads-up ${one.steps.join('+')}`);
    for (const one of sounding.cue) told.push(`${now_s} cue ${one.steps.join('+')}`);
  }
  return { told, heard: known };
}

const FRITTER = '6/mains/risotto/fritter/1/0';

describe('cues of a station', () => {
  it('sound a heads-up fifteen seconds before and the cue on its second, each once', () => {
    expect(play(() => [action(100)], 60, 200).told).toEqual([`85 heads-up ${FRITTER}`, `100 cue ${FRITTER}`]);
  });

  it('are silent the second before', () => {
    expect(play(() => [action(100)], 60, 84).told).toEqual([]);
  });

  it('do not sound again after a reload in mid-cue', () => {
    const { heard } = play(() => [action(100)], 60, 100);
    expect(play(() => [action(100)], 101, 200, JSON.parse(JSON.stringify(heard)) as Heard).told).toEqual([]);
  });

  it('do not sound again when a replan moves them by a few seconds', () => {
    expect(play((now) => [action(now < 101 ? 100 : 104)], 60, 200).told).toHaveLength(2);
  });

  it('sound anew when they were put off for long', () => {
    const { told } = play((now) => [action(now < 102 ? 100 : 160)], 60, 200);
    expect(told).toEqual([
      `85 heads-up ${FRITTER}`,
      `100 cue ${FRITTER}`,
      `145 heads-up ${FRITTER}`,
      `160 cue ${FRITTER}`,
    ]);
  });

  it('stay one cue while an overdue end is moved along with the clock by small steps', () => {
    const { told } = play((now) => [action(Math.max(100, Math.floor(now / 5) * 5))], 60, 118);
    expect(told).toHaveLength(2);
  });

  it('that were missed for more than half a minute are shown, not sounded', () => {
    expect(play(() => [action(100)], 130, 200).told).toEqual([]);
    expect(play(() => [action(100)], 129, 200).told).toEqual([`129 cue ${FRITTER}`]);
  });

  it('skip the heads-up when they come in already due', () => {
    expect(play(() => [action(100)], 100, 110).told).toEqual([`100 cue ${FRITTER}`]);
  });

  it('joined by another table before they fall due give one more heads-up and one cue', () => {
    const other = '9/mains/risotto/fritter/1/0';
    const { told } = play((now) => [action(100, now < 90 ? [FRITTER] : [FRITTER, other])], 60, 200);
    expect(told).toEqual([`85 heads-up ${FRITTER}`, `90 heads-up ${FRITTER}+${other}`, `100 cue ${FRITTER}+${other}`]);
  });

  it('tell the start of a step from its end', () => {
    const { told } = play((now) => [now < 120 ? action(100) : action(190, [FRITTER], 'finish:6')], 60, 200);
    expect(told).toEqual([
      `85 heads-up ${FRITTER}`,
      `100 cue ${FRITTER}`,
      `175 heads-up ${FRITTER}`,
      `190 cue ${FRITTER}`,
    ]);
  });

  it('are forgotten when they leave the board', () => {
    const { heard } = play((now) => (now < 110 ? [action(100)] : []), 60, 111);
    expect(heard).toEqual(NOTHING_HEARD);
  });
});

describe('the next sound', () => {
  it('is the nearest heads-up or cue still to come', () => {
    expect(nextSoundAt([action(100), action(70)], 60 * S)).toBe(70 * S);
    expect(nextSoundAt([action(100)], 90 * S)).toBe(100 * S);
    expect(nextSoundAt([action(100)], 100 * S)).toBeNull();
  });
});
