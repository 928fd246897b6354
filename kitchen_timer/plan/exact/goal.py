"""What is minimised, in plate-seconds: lateness and waiting; in service also cues that move and food that overruns.

The solver counts in whole numbers. The scale is the least common multiple of the denominators of all weights, so that
they are exact, but at most ``FINEST``: beyond that weights are rounded *down*, so that what the solver proves of its
goal stays a lower bound on the cost.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from math import floor, lcm

from ortools.sat.python import cp_model as cp

from kitchen_timer.kitchen.dish import Component
from kitchen_timer.kitchen.table import After
from kitchen_timer.plan.cost import (
    BROKEN_PER_S,
    MOVED_CUE,
    MOVED_CUE_MOST_S,
    MOVED_CUE_PER_S,
    STEADY_WITHIN_S,
    goes_by_cue,
)
from kitchen_timer.plan.exact.moment import Expression, Found, Moment
from kitchen_timer.plan.exact.rules import Overrun, rule_8_earliest
from kitchen_timer.plan.exact.variables import Times
from kitchen_timer.plan.question import CourseKey, LoadKey

FINEST = 1_000_000
"""The most parts that a plate-second is cut into."""


@dataclass(frozen=True)
class Goal:
    """The prices. The first four are the cost of a plan."""

    patience_s: int = 300
    """Seconds late beyond which each further one counts ``beyond`` times."""
    beyond: int = 3
    waiting: Fraction = Fraction(1, 5)
    """Of one portion that stands for a second, where it keeps no longer than ``fragile_s``."""
    fragile_s: int = 60
    overrun: Fraction = Fraction(BROKEN_PER_S)
    """Plate-seconds for each second that started food waits or stands too long: more than any other wish."""

    def waiting_of(self, component: Component, portions: int) -> Fraction:
        """Plate-seconds for each second that a load stands: ``portions * 0.2 * min(1, 60 s / keeps)``."""
        return portions * self.waiting * min(Fraction(1), Fraction(self.fragile_s, max(1, component.keeps_s)))


PRICES = Goal()


@dataclass
class Terms:
    """The parts of the goal: so much for each unit of a number, and what is already certain."""

    terms: list[tuple[Fraction, Expression]] = field(default_factory=list)
    certain: Fraction = Fraction(0)
    most: list[tuple[Fraction, int]] = field(default_factory=list)
    """Each weight, and how large its number can be."""

    def add(self, weight: Fraction | int, moment: Moment) -> None:
        """So much for each second of a number that is never negative."""
        self.most.append((Fraction(weight), moment.most))
        if moment.var is None:
            self.certain += Fraction(weight) * moment.plus
        else:
            self.terms.append((Fraction(weight), moment.expr))

    @property
    def scale(self) -> int:
        """Parts of a plate-second in which the solver counts."""
        scale = 1
        for weight, _ in self.terms:
            scale = lcm(scale, weight.denominator)
            if scale > FINEST:
                return FINEST
        return scale

    def minimise(self, model: cp.CpModel) -> int:
        """Set the goal; gives the scale."""
        scale = self.scale
        model.minimize(sum(floor(weight * scale) * expr for weight, expr in self.terms))
        return scale

    def no_less(self, model: cp.CpModel, scale: int, bound: float) -> None:
        """Say that no plan costs less than ``bound`` plate-seconds: proven elsewhere, and not to be proven again."""
        rounded_off = sum((weight * scale - floor(weight * scale)) * most for weight, most in self.most)
        least = floor((Fraction(bound) - self.certain) * scale - rounded_off - Fraction(scale, 10**6))
        if self.terms and least > 0:
            model.add(sum(floor(weight * scale) * expr for weight, expr in self.terms) >= least)


def targets_of(times: Times, targets: Mapping[CourseKey, int]) -> dict[CourseKey, Moment]:
    """The target of every course, in seconds after ``now``.

    ``targets`` gives instants: the wanted time, the target fixed when the order was taken, or the earliest with the
    kitchen to itself. The target of a course after another is not before rule 8 lets it land, so it may move.
    """
    found: dict[CourseKey, Moment] = {}
    for key, course in times.courses.items():
        wanted, now = course.wanted, times.question.now
        given = wanted.target_at if wanted.target_at is not None else targets.get(key)
        if given is None:
            given = wanted.landed_at if wanted.landed_at is not None else now + course.landing.plus
        target = Moment.fixed(given - now)
        earliest = rule_8_earliest(times, course)
        if wanted.target_at is None and isinstance(wanted.land, After) and earliest is not None:
            target = times.model.latest([target, earliest], target.plus, times.horizon + abs(target.plus), f"due {key}")
        found[key] = target
    return found


def make_terms(
    times: Times,
    targets: Mapping[CourseKey, Moment],
    stands_until: Mapping[LoadKey, Moment],
    overruns: list[Overrun],
    prices: Goal = PRICES,
) -> Terms:
    """Everything that is to be kept small."""
    terms, model = Terms(), times.model
    for key, course in times.courses.items():
        most = times.horizon - min(0, targets[key].plus)
        late = model.over(course.landing, targets[key], 0, most, f"late {key}")
        terms.add(course.wanted.weight, late)
        beyond = model.over(late, Moment.fixed(0), prices.patience_s, most, f"too late {key}")
        terms.add(course.wanted.weight * (prices.beyond - 1), beyond)
        for load in course.loads:
            weight, until = prices.waiting_of(load.component, load.portions), stands_until[load.key]
            if until.var is not None:  # rules 3 and 4 keep it at or after the end
                hinted = None if until.hinted is None or load.end.hinted is None else until.hinted - load.end.hinted
                most = until.most - load.end.least
                if not load.begun:
                    most = min(most, load.component.keeps_s)
                stands = model.moment(0, most, f"stands {load.key}", hinted)
                model.cp.add(until.expr - load.end.expr == stands.expr)
                terms.add(weight, stands)
            else:
                most = max(0, until.plus - load.end.plus) if load.end.var is None else times.horizon
                terms.add(weight, model.over(until, load.end, 0, most, f"stands {load.key}"))
    for overrun in overruns:
        terms.add(prices.overrun, overrun.seconds)
    _announced(times, terms)
    return terms


def _announced(times: Times, terms: Terms) -> None:
    """A start that a station has been told costs when it moves: the price of ``plan.cost.moved_cue``."""
    model, most = times.model, times.horizon
    for load in times.moving():
        for step in range(load.begun, len(load.starts)):
            told_at, start = times.question.announced.get(load.step_key(step)), load.starts[step]
            if told_at is None or start.var is None or not goes_by_cue(load.component, step):
                continue
            told = Moment.fixed(max(0, told_at - times.question.now))
            by_s = _apart(start, told)
            far = None if by_s is None else by_s > STEADY_WITHIN_S
            counts = None if by_s is None else min(by_s, MOVED_CUE_MOST_S)
            by = model.moment(0, most + told.plus, f"{load.key}/{step} moves by", by_s)
            moved = model.truth(f"{load.key}/{step} moves", far)
            counted = model.moment(0, MOVED_CUE_MOST_S, f"{load.key}/{step} moves by at most", counts)
            charged = model.moment(0, MOVED_CUE_MOST_S, f"{load.key}/{step} is charged", counts if far else 0)
            # Both ways by hand: in OR-Tools 9.15 add_abs_equality loses the sign of a constant.
            model.cp.add_max_equality(by.expr, [start.expr - told.plus, told.plus - start.expr])
            model.cp.add(by.expr <= STEADY_WITHIN_S).only_enforce_if(~moved)
            model.cp.add_min_equality(counted.expr, [by.expr, MOVED_CUE_MOST_S])
            model.cp.add(charged.expr >= counted.expr).only_enforce_if(moved)
            terms.terms.append((Fraction(MOVED_CUE), moved))
            terms.add(Fraction(MOVED_CUE_PER_S), charged)


def _apart(one: Moment, other: Moment) -> int | None:
    return None if one.hinted is None or other.hinted is None else abs(one.hinted - other.hinted)


def cost_found(
    found: Found,
    times: Times,
    targets: Mapping[CourseKey, Moment],
    stands_until: Mapping[LoadKey, Moment],
    prices: Goal = PRICES,
) -> float:
    """Lateness and waiting of the plan found, in plate-seconds; moved cues and overruns are not in it."""
    cost = Fraction(0)
    for key, course in times.courses.items():
        late_s = max(0, course.landing.value(found) - targets[key].value(found))
        beyond_s = max(0, late_s - prices.patience_s)
        cost += course.wanted.weight * (late_s + (prices.beyond - 1) * beyond_s)
        for load in course.loads:
            stood_s = max(0, stands_until[load.key].value(found) - load.end.value(found))
            cost += prices.waiting_of(load.component, load.portions) * stood_s
    return float(cost)
