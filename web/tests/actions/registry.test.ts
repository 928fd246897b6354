import { describe, expect, it } from 'vitest';
import { acts, label } from '../../src/actions/registry';

describe('the acts of all pages', () => {
  it('are named as they are listed and have words', () => {
    for (const [name, act] of Object.entries(acts)) {
      expect(act.name).toBe(name);
      expect(label(act)).not.toBe('');
    }
  });

  it('send, cook again and hold by no key that could be hit by accident', () => {
    expect([acts.sent, acts.fire, acts.hold].flatMap((act) => act.keys)).toEqual([]);
  });

  it('share no key but that of the big button at one station', () => {
    const small = [acts.more, acts.again, acts.undo].flatMap((act) => [...act.keys]);
    expect(new Set([...small, ...acts.done.keys]).size).toBe(small.length + acts.done.keys.length);
    expect(acts.done.keys).toEqual(acts.started.keys);
  });

  it('become the commands that the server knows', () => {
    expect(acts.again.command('6/mains/duck/duck/1')).toEqual({ kind: 'cook_again', load: '6/mains/duck/duck/1' });
    expect(acts.more.command(['6/mains/duck/duck/1/0'])).toEqual({
      kind: 'give_more_time',
      steps: ['6/mains/duck/duck/1/0'],
      seconds: 30,
    });
  });
});
