import { acts, label } from '../../actions/registry';
import { ask } from '../../board/doing';
import { timeOfDay } from '../../clock/say_time';
import type { SpareView } from '../../wire/messages';
import { say } from '../../words/say';

const SHOWN = 3;

/** Food that no plate needs any more and another table could have, while it is good. */
export function Spare({ spare }: { spare: readonly SpareView[] }) {
  return (
    <>
      {spare
        .filter((one) => one.wanted_by.length > 0)
        .map((one) => (
          <li key={one.load}>
            <p class="figures">
              {say('sheet.spare', {
                n: one.portions,
                component: one.component_name,
                table: one.table,
                time: timeOfDay(one.keeps_until),
              })}
            </p>
            {one.wanted_by.slice(0, SHOWN).map((course) => {
              const table = course.split('/')[0] ?? course;
              return (
                <button
                  key={course}
                  type="button"
                  title={label(acts.give)}
                  onClick={() =>
                    void ask(
                      acts.give.command(one.load, course),
                      say('did.give', { component: one.component_name, table }),
                    )
                  }
                >
                  {say('sheet.give_to', { table })}
                </button>
              );
            })}
          </li>
        ))}
    </>
  );
}
