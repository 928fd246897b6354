import { ask, justDone } from '../../board/doing';
import { say } from '../../words/say';

/** What was just done here, or why not, and the one touch that takes it back; nothing once ten seconds are over. */
export function Doing({ where }: { where: 'foot' | 'sheet' }) {
  const done = justDone.value;
  return (
    <div class={done ? `doing shown at-${where}` : `doing at-${where}`} role={done?.refused ? 'alert' : 'status'}>
      {done && <p>{done.refused ? say('refused', { detail: done.words }) : done.words}</p>}
      {done?.seq != null && <TakeBack seq={done.seq} />}
    </div>
  );
}

export function TakeBack({ seq }: { seq: number }) {
  return (
    <button type="button" onClick={() => void ask({ kind: 'undo', seq }, say('pass.did.undo'))}>
      {say('pass.take_back')}
    </button>
  );
}
