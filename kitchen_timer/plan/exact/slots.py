"""The slots that loads take, alone and together (rule 5): ``ceil(portions that share / fits)``."""

from collections import defaultdict

from ortools.sat.python import cp_model as cp

from kitchen_timer.plan.exact.joined import Joined, Standing
from kitchen_timer.plan.exact.limits import Limit, added_up
from kitchen_timer.plan.exact.moment import Expression, Model, Moment
from kitchen_timer.plan.exact.variables import LoadTimes, Times

Riders = list[tuple[cp.IntVar, LoadTimes]]


def of_step(model: Model, limit: Limit, joined: Joined, load: LoadTimes, step: int, recovery_s: int) -> None:
    """Slots of a step that moves, its riders' included, until its end and so many seconds longer."""
    key, fits = load.step_key(step), load.component.steps[step].fits
    taken = _with_riders(model, limit, load.portions, joined.riders.get(key, []), fits, f"slots {key}")
    limit.add(load.starts[step], load.length(step) + recovery_s, taken, str(key), _own(joined.own.get(key), load, fits))


def of_wait(times: Times, limit: Limit, joined: Joined, load: LoadTimes, step: int, until: Moment) -> None:
    """Slots that stay taken after a step until the next one on the same equipment starts."""
    key, fits = load.step_key(step), load.component.steps[step].fits
    taken = _with_riders(times.model, limit, load.portions, joined.gap_riders.get(key, []), fits, f"slots after {key}")
    since = load.ends[step]
    if since.var is None:
        # What is over is over: started food counts from now on, and from when there is room for it: where it stands
        # in the way of what has started too, no plan can help it.
        since = Moment.fixed(limit.first_room(max(0, since.plus), -(-load.portions // fits)))
        until = times.model.latest([since, until], since.plus, times.horizon, f"{key} waits until")
    present = _own(joined.own_gap.get(key), load, fits)
    limit.add_until(since, until, taken, f"{key} waits", present)


def more_for_standing(model: Model, limit: Limit, group: Standing, riders: Riders, recovery_s: int) -> None:
    """Slots that riders add to a step that cannot be moved; its own are among what stands."""
    component = group.loads[0].component
    base = -(-group.portions // component.steps[group.step].fits)
    fits = component.steps[group.step].fits
    taken = _with_riders(model, limit, group.portions, riders, fits, f"slots with {group.loads[0].key}/{group.step}")
    if not isinstance(taken, int):
        limit.add(group.start, group.length_s + recovery_s, taken - base, f"more {group.loads[0].key}")


class Still:
    """Slots of the steps that stand: those that share are added up before they are rounded."""

    def __init__(self) -> None:
        self._uses: dict[object, list[tuple[int, int, LoadTimes]]] = defaultdict(list)
        self._limits: dict[object, tuple[Limit, int]] = {}

    def add(self, limit: Limit, load: LoadTimes, step: int, recovery_s: int) -> None:
        """One step that stands, and the wait after it where that stands too."""
        from_at, to_at, until = load.starts[step].plus, load.ends[step].plus, load.stays_until(step)
        alike = (load.key.dish, load.key.component, step, from_at, to_at)
        fits = load.component.steps[step].fits
        self._add(alike, limit, fits, from_at, to_at + recovery_s, load)
        if until is not None and until.var is None:
            self._add((*alike, until.plus), limit, fits, to_at, until.plus, load)

    def _add(self, alike: object, limit: Limit, fits: int, from_at: int, to_at: int, load: LoadTimes) -> None:
        self._limits[alike] = (limit, fits)
        self._uses[alike].append((from_at, to_at, load))

    def take(self) -> None:
        """Take them."""
        for alike, uses in self._uses.items():
            limit, fits = self._limits[alike]
            for from_at, to_at, portions in added_up((a, b, load.portions) for a, b, load in uses):
                limit.add_fixed(from_at, to_at, -(-portions // fits))


def _own(own: cp.IntVar | None, load: LoadTimes, fits: int) -> cp.IntVar | None:
    """Whether a load takes slots itself: portions that fill whole slots always do, riding along or not."""
    return own if load.portions % fits else None


def _with_riders(model: Model, limit: Limit, portions: int, all_riders: Riders, fits: int, name: str) -> Expression:
    """``ceil((portions + those of its riders) / fits)``; a rider that fills whole slots keeps its own."""
    riders = [(ride, rider.portions) for ride, rider in all_riders if rider.portions % fits]
    least = -(-portions // fits)
    if not riders:
        return least
    total = portions + sum(ride * more for ride, more in riders)
    most = min(limit.capacity, -(-(portions + sum(more for _, more in riders)) // fits))
    if most <= least:
        model.cp.add(total <= fits * least)
        return least
    riding = [model.hints[ride.index][1] * more for ride, more in riders if ride.index in model.hints]
    says = -(-(portions + sum(riding)) // fits) if len(riding) == len(riders) else None
    taken = model.moment(least, most, name, says)
    model.cp.add(fits * taken.expr >= total)
    return taken.expr
