"""What a plan costs: lateness and waiting, in plate-seconds."""

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.check.broken import Cost
from kitchen_timer.plan.check.laid import Table, lay_out
from kitchen_timer.plan.check.loads import stands_s
from kitchen_timer.plan.question import CourseKey, Question

PATIENCE_S = 300
"""Seconds late beyond which every further one counts three times."""


def cost_of(question: Question, answer: Answer) -> Cost:
    """Lateness and waiting of a plan, from its landings, its targets and its steps."""
    return cost_of_table(lay_out(question, answer))


def cost_of_table(table: Table) -> Cost:
    """The same of a plan that is laid out already."""
    lateness = 0.0
    for wanted, planned in table.planned.values():
        late_s = max(0, planned.landing_at - planned.target_at)
        plates = sum(qty for _, qty in wanted.portions)
        lateness += plates * wanted.presses * (late_s + 2 * max(0, late_s - PATIENCE_S))
    waiting = 0.0
    for (number, course, dish), loads in table.by_dish.items():
        landing = table.planned[CourseKey(number, course)][1].landing_at
        components = table.question.book[dish].components
        for name, of_component in loads.items():
            dependants = [other for other, component in components.items() if name in component.after]
            keeps_s = components[name].keeps_s
            fragile = 1.0 if keeps_s <= 60 else 60 / keeps_s
            for load in of_component:
                waiting += load.portions * stands_s(load, loads, landing, dependants) * 0.2 * fragile
    return Cost(lateness, waiting)
