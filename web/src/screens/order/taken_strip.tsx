import { acts, label } from '../../actions/registry';
import { timeOfDay } from '../../clock/say_time';
import type { PassBoard } from '../../wire/messages';
import { say } from '../../words/say';
import type { OrderDesk } from './desk';

/** Says that an order is taken and when it lands by the plan of this moment; it can be taken back until it is begun. */
export function TakenStrip({ desk, board }: { desk: OrderDesk; board: PassBoard | null }) {
  const order = desk.taken.value;
  if (order === null) return null;
  const plans = order.courses.map(({ course }) => {
    // A second course of one name got a number from the kitchen: the latest of that name is this order's.
    const mine = (one: { table: string; course: string }) =>
      one.table === order.table && one.course.replace(/ \d+$/, '') === course;
    const planned = board?.courses.filter(mine).at(-1);
    if (planned !== undefined) return say('order.taken_land', { course, time: timeOfDay(planned.landing_at) });
    return board?.held.some(mine) ? say('order.taken_held', { course }) : course;
  });
  return (
    <div class="taken" role="status">
      <p>
        <b>{say('order.taken', { table: order.table })}</b> <span class="figures">{plans.join(' · ')}</span>
      </p>
      <button type="button" onClick={() => void desk.undo()}>
        {label(acts.undo)}
      </button>
      <button type="button" onClick={() => desk.dismiss()}>
        {say('close')}
      </button>
    </div>
  );
}
