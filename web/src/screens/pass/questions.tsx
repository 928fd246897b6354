import { acts } from '../../actions/registry';
import { ask } from '../../board/doing';
import type { PassBoard } from '../../wire/messages';
import { say } from '../../words/say';
import { Spare } from './spare';

/**
 * What only the chef can say: cook again too, or leave it; and who gets food that is spare. Unanswered it stands here
 * and changes nothing.
 */
export function Questions({ board }: { board: PassBoard }) {
  const { questions, spare } = board;
  if (questions.length === 0 && !spare.some((one) => one.wanted_by.length > 0)) return null;
  return (
    <section class="questions" aria-label={say('pass.questions')}>
      <ul>
        {questions.map((one) => (
          <li key={one.id}>
            <p class="figures">{one.words}</p>
            <button
              type="button"
              onClick={() => void ask(acts.answer.command(one.loads, true), say('pass.did.again_too'))}
            >
              {say('pass.again_too')}
            </button>
            <button
              type="button"
              onClick={() => void ask(acts.answer.command(one.loads, false), say('pass.did.leave_it'))}
            >
              {say('pass.leave_it')}
            </button>
          </li>
        ))}
        <Spare spare={spare} />
      </ul>
    </section>
  );
}
