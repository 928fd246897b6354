import type { ReadonlySignal } from '@preact/signals';
import { useCallback, useEffect, useRef, useState } from 'preact/hooks';
import { acts, isKeyOf } from '../../actions/registry';
import type { Announced } from '../../alarm/cue_alarm';
import { tick } from '../../clock/kitchen_clock';
import { timeWithSeconds } from '../../clock/say_time';
import { Score } from '../../parts/score';
import type { ActionView, StationBoard } from '../../wire/messages';
import { say } from '../../words/say';
import { Cue, NothingToDo } from './cue';
import type { StationDesk } from './desk';
import { Dock } from './dock';
import type { Lines } from './lines';
import { Others } from './others';
import { Settings } from './settings';
import { againChoices } from './station_model';
import { Status } from './status';
import { WipeLock } from './wipe';

interface WorkingProps {
  name: string;
  line: Lines;
  desk: StationDesk;
  announced: ReadonlySignal<Announced | null>;
}

/** The page of a station at work: notes fall to the now line, the next cue under it, one big action. */
export function Working({ name, line, desk, announced }: WorkingProps) {
  const board = line.board.value;
  const action = desk.big.value;
  const [again, askAgain] = useState<ActionView | null>(null);
  const settings = useRef<HTMLDialogElement>(null);
  const [wiping, wipe] = useState(false);
  const unlock = useCallback(() => wipe(false), []);
  useKeys(desk, askAgain);

  return (
    <main class="station">
      <header>
        <div class="name">
          <h1>{name}</h1>
          <p class="quiet touch">{say(line.link.value.inTouch ? 'link.in_touch' : 'link.out_of_touch')}</p>
        </div>
        <Time />
        <button type="button" class="gear" onClick={() => wipe(true)}>
          {say('station.wipe')}
        </button>
        <button type="button" class="gear" onClick={() => settings.current?.showModal()}>
          {say('station.settings_short')}
        </button>
      </header>
      <Status line={line} desk={desk} />
      <div class="falling">
        <Score
          notes={desk.notes.value}
          direction="down"
          windowS={300}
          pastS={0}
          axis
          nowLine={false}
          label={say('station.falling', { station: name })}
        />
      </div>
      <div class="now-line" />
      <div class="middle">
        <section class="under" aria-label={say('station.next')}>
          {board === null ? (
            <p class="free">{say('loading')}</p>
          ) : action === null ? (
            <NothingToDo board={board} />
          ) : (
            <Cue action={action} notes={board.notes} />
          )}
        </section>
        <Others desk={desk} />
      </div>
      <Dock desk={desk} askAgain={askAgain} />
      <p class="unseen" aria-live={announced.value?.urgent ? 'assertive' : 'polite'}>
        {announced.value?.words}
      </p>
      <dialog ref={settings} class="sheet" aria-label={say('station.settings')}>
        <Settings />
        <form method="dialog">
          <button type="submit" class="wide">
            {say('close')}
          </button>
        </form>
      </dialog>
      {wiping && <WipeLock open={unlock} />}
      {again !== null && <Again action={again} desk={desk} board={board} close={() => askAgain(null)} />}
    </main>
  );
}

/** The time of day, to the second: a component of its own, so that a tick draws nothing else again. */
function Time() {
  return <time class="clock figures">{timeWithSeconds(tick.value * 1000)}</time>;
}

interface AgainProps {
  action: ActionView;
  desk: StationDesk;
  board: StationBoard | null;
  close: () => void;
}

/** Asks once which load is lost: nothing else on this page throws food away. */
function Again({ action, desk, board, close }: AgainProps) {
  const sheet = useRef<HTMLDialogElement>(null);
  useEffect(() => sheet.current?.showModal(), []);
  const choices = againChoices(action, board?.notes ?? []);
  return (
    <dialog ref={sheet} class="sheet" onClose={close} aria-labelledby="again-title">
      <h2 id="again-title">{say('station.cook_again_which')}</h2>
      <p>{say('station.cook_again_says')}</p>
      {choices.map((choice) => (
        <button
          key={choice.load}
          type="button"
          class="wide"
          onClick={() => {
            desk.again(action, choice.load);
            sheet.current?.close();
          }}
        >
          {say('station.cook_again_line', { n: choice.portions, component: choice.component, table: choice.table })}
        </button>
      ))}
      <button type="button" class="wide" onClick={() => sheet.current?.close()}>
        {say('station.keep')}
      </button>
    </dialog>
  );
}

/** Space, Enter and any keypad do what touch does; a key held down or meant for a field does nothing. */
function useKeys(desk: StationDesk, askAgain: (action: ActionView) => void): void {
  useEffect(() => {
    const press = (event: KeyboardEvent) => {
      const at = event.target as HTMLElement | null;
      if (event.repeat || at?.closest('dialog, input, select, textarea, a')) return;
      const onButton = at?.closest('button') ?? null;
      const action = desk.big.peek();
      if (isKeyOf(acts.undo, event)) desk.undo();
      else if (action === null) return;
      else if (isKeyOf(acts.started, event)) {
        if (onButton !== null && !onButton.classList.contains('big')) return;
        desk.tap(action);
      } else if (isKeyOf(acts.more, event)) desk.more(action);
      else if (isKeyOf(acts.again, event) && desk.running.peek().length > 0) askAgain(action);
      else if (event.key === 'ArrowDown' || event.key === 'ArrowUp') step(desk, event.key === 'ArrowDown' ? 1 : -1);
      else return;
      event.preventDefault();
    };
    addEventListener('keydown', press);
    return () => removeEventListener('keydown', press);
  }, [desk, askAgain]);
}

function step(desk: StationDesk, by: 1 | -1): void {
  const actions = desk.actions.peek();
  const at = actions.findIndex((action) => action.id === desk.big.peek()?.id);
  const next = actions[(at + by + actions.length) % actions.length];
  if (next !== undefined) desk.raise(next);
}
