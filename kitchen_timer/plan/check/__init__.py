"""Does a plan obey the rules? A second reading of them, which shares no code with the planners.

Durations, hands, slots and waiting are worked out again here from the fields of the kitchen, the book and the
question, so that a planner's misreading of a rule does not pass unseen. It runs before a plan is adopted, so it sweeps
over the moments where something changes and never second by second.

Where the rules leave room, this is how they are read:

- *Sharing* (rule 5). Loads of one component of one dish, of one table or several, share slots at a step that starts
  and ends at the same seconds for all of them; they take ``ceil(total portions / fits)`` slots. Between a step and the
  next on the same equipment those of them that start the next step together keep ``ceil(their portions / fits)``
  slots, by the ``fits`` of the step that is done. Recovery follows only when the group leaves the equipment. Two
  loads of one course may share like any others.
- *Hands* (rule 6). A group that shares slots is handled once; work on a board, without equipment, is not shared.
  A step that has started is read like any other, by when it really started and ended or is expected to end.
- *Standing* (rule 4). A component that others of its dish name in ``after`` stands until the last of their loads
  starts; where all of those started before it was done (one was cooked again), it does not stand at all.
- *Splitting.* A course's portions of a component are one load where they fit the equipment of every step at once; where
  they do not, several, of whatever sizes and however many.
- *Plating* (rule 7) starts at the landing and takes the same hands to its end, also for what has landed.
- What is over is over: slots and hands are counted from ``now`` on.

Rule 0 stands for what no rule needs to say: started food is in the plan as it started, and the plan's own figures
(targets, lateness, when a course is up, cost) are what they must be.
"""

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.check.broken import Break, Cost
from kitchen_timer.plan.check.cost import cost_of
from kitchen_timer.plan.check.courses import broken_by_courses
from kitchen_timer.plan.check.figures import broken_figures
from kitchen_timer.plan.check.laid import lay_out
from kitchen_timer.plan.check.loads import broken_by_loads
from kitchen_timer.plan.check.room import broken_by_room
from kitchen_timer.plan.question import Question

__all__ = ["Break", "Cost", "breaks", "cost_of"]


def breaks(question: Question, answer: Answer) -> tuple[Break, ...]:
    """Every rule that the plan breaks, each with the place and by how much; empty for a plan that obeys all.

    A break that started food leaves no way round has ``excused`` set: it is to be shown, and is no reason to refuse
    the plan.
    """
    table = lay_out(question, answer)
    return (
        *table.faults,
        *broken_by_courses(table),
        *broken_by_loads(table),
        *broken_by_room(table),
        *broken_figures(table),
    )
