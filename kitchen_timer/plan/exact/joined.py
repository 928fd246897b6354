"""Which loads share slots: loads of one component whose step starts and ends together, and are handled once (rule 5).

Of loads that share a step one *leads* and the others *ride along*: a yes or no for each pair. Who rides along takes no
hands of its own, and its portions are added to the leader's, so that the slots taken are ``ceil(total / fits)``.
Where a rider's portions fill whole slots by themselves, sharing saves it no slot, and it keeps its own.
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field

from ortools.sat.python import cp_model as cp

from kitchen_timer.plan.exact.moment import Model, Moment
from kitchen_timer.plan.exact.variables import LoadTimes, Times
from kitchen_timer.plan.question import StepKey


@dataclass(frozen=True, eq=False)
class Standing:
    """Loads that share a step and cannot be moved: others may still ride along."""

    loads: tuple[LoadTimes, ...]
    step: int

    @property
    def start(self) -> Moment:
        """When the step starts."""
        return self.loads[0].starts[self.step]

    @property
    def length_s(self) -> int:
        """How long it takes."""
        return self.loads[0].length(self.step)

    @property
    def portions(self) -> int:
        """Portions of all of them."""
        return sum(load.portions for load in self.loads)


@dataclass
class Joined:
    """Who rides along with whom, step by step; a step that is not in ``own`` always leads."""

    own: dict[StepKey, cp.IntVar] = field(default_factory=dict)
    """Whether a step leads: it takes its own slots and hands."""
    riders: dict[StepKey, list[tuple[cp.IntVar, LoadTimes]]] = field(default_factory=lambda: defaultdict(list))
    """Who may ride along with a leading step that moves."""
    riders_of_standing: list[tuple[Standing, list[tuple[cp.IntVar, LoadTimes]]]] = field(default_factory=list)
    """Who may ride along with what cannot be moved."""
    own_gap: dict[StepKey, cp.IntVar] = field(default_factory=dict)
    """As ``own``, for the wait after a step in the same slots: shared while those who shared it go on together."""
    gap_riders: dict[StepKey, list[tuple[cp.IntVar, LoadTimes]]] = field(default_factory=lambda: defaultdict(list))


def join(times: Times) -> Joined:
    """The yes or no of every pair of loads that could share a step."""
    joined = Joined()
    alike: dict[tuple[str, str], list[LoadTimes]] = defaultdict(list)
    for load in times.loads:
        alike[load.key.dish, load.key.component].append(load)
    for loads in alike.values():
        if any(load.moves for load in loads):
            _Pairs(times.model, loads, joined).make()
    return joined


def waits_after(load: LoadTimes, step: int) -> bool:
    """Whether the next step may start later than this one ends: they are not in one block."""
    return load.blocks[step + 1] == step + 1


class _Pairs:
    """The pairs of all loads of one component."""

    def __init__(self, model: Model, loads: list[LoadTimes], joined: Joined) -> None:
        self.model, self.loads, self.joined = model, loads, joined
        self.known: dict[object, cp.IntVar] = {}
        """Riding along is one yes or no for all steps of a block that the same loads can share."""

    def make(self) -> None:
        for step, what in enumerate(self.loads[0].component.steps):
            if what.on is not None:
                self._share(step)
            if self.loads[0].component.stays_on(step):
                self._share_gap(step)

    def _share(self, step: int) -> None:
        moving: list[LoadTimes] = []
        still: dict[tuple[int, int], list[LoadTimes]] = defaultdict(list)
        for load in self.loads:
            if step >= len(load.starts):
                continue
            start = load.starts[step]
            if start.var is not None:
                moving.append(load)
            elif start.plus >= 0:
                still[start.plus, load.length(step)].append(load)
        standing = [Standing(tuple(loads), step) for loads in still.values()]
        waiting: dict[Standing, list[tuple[cp.IntVar, LoadTimes]]] = defaultdict(list)
        of_length: dict[int, list[LoadTimes]] = defaultdict(list)
        for load in moving:
            of_length[load.length(step)].append(load)
        for length_s, loads in of_length.items():
            here = [group for group in standing if group.length_s == length_s]
            crowd = (tuple(load.key for load in loads), tuple(tuple(x.key for x in group.loads) for group in here))
            leads: dict[StepKey, bool] = {}
            for at, load in enumerate(loads):
                rides = self._rides(load, step, loads[:at], here, crowd, leads)
                leads[load.step_key(step)] = not any(says for _, _, says in rides)
                if not rides:
                    continue
                own = self._own(load, step, [ride for ride, _, _ in rides], crowd, leads[load.step_key(step)])
                self.joined.own[load.step_key(step)] = own
                for ride, leader, _ in rides:
                    if isinstance(leader, Standing):
                        waiting[leader].append((ride, load))
                    else:
                        self.joined.riders[leader.step_key(step)].append((ride, load))
                        if (leading := self.joined.own.get(leader.step_key(step))) is not None:
                            self.model.cp.add_implication(ride, leading)
        self.joined.riders_of_standing += waiting.items()

    def _share_gap(self, step: int) -> None:
        """Who shared the step shares the slots for as long as they wait for the same next start."""
        begun: dict[tuple[int, int], list[LoadTimes]] = defaultdict(list)
        leads: dict[StepKey, bool] = {}
        for load in self.loads:
            until = load.stays_until(step)
            if until is None or until.var is None or not waits_after(load, step):
                continue
            key = load.step_key(step)
            if load.starts[step].var is None:
                alike = begun[load.starts[step].plus, load.length(step)]
                shared: list[tuple[cp.IntVar | None, LoadTimes]] = [(None, other) for other in alike]
                alike.append(load)
            else:
                shared = [
                    (ride, leader)
                    for leader in self.loads
                    for ride, rider in self.joined.riders.get(leader.step_key(step), ())
                    if rider is load and waits_after(leader, step)
                ]
            rides: list[cp.IntVar] = []
            taken = False
            for ride, leader in shared:
                next_start = leader.starts[step + 1]
                together = ride is None or bool(self.model.hints.get(ride.index, (ride, 0))[1])
                same = until.hinted is not None and until.hinted == next_start.hinted
                says = together and same and not taken and leads.get(leader.step_key(step), True)
                taken = taken or says
                stay = self.model.truth(f"{key} waits with {leader.key}", None if until.hinted is None else says)
                self.model.cp.add(until.expr == next_start.expr).only_enforce_if(stay)
                if ride is not None:
                    self.model.cp.add_implication(stay, ride)
                if (leading := self.joined.own_gap.get(leader.step_key(step))) is not None:
                    self.model.cp.add_implication(stay, leading)
                self.joined.gap_riders[leader.step_key(step)].append((stay, load))
                rides.append(stay)
            leads[key] = not taken
            if rides:
                own = self.model.truth(f"{key} waits by itself", None if until.hinted is None else not taken)
                self.model.cp.add_exactly_one(own, *rides)
                self.joined.own_gap[key] = own

    def _rides(
        self,
        load: LoadTimes,
        step: int,
        before: list[LoadTimes],
        standing: list[Standing],
        crowd: object,
        leads: Mapping[StepKey, bool],
    ) -> list[tuple[cp.IntVar, LoadTimes | Standing, bool]]:
        """``(yes or no, leader, what the hint says)`` for every leader this load could ride along with."""
        rides: list[tuple[cp.IntVar, LoadTimes | Standing, bool]] = []
        taken = False
        mine = load.starts[step]
        candidates: list[tuple[LoadTimes | Standing, Moment, bool]] = [(g, g.start, True) for g in standing]
        candidates += [(x, x.starts[step], leads[x.step_key(step)]) for x in before]
        for leader, start, may_lead in candidates:
            if mine.most < start.least or start.most < mine.least:
                continue
            together = mine.hinted is not None and mine.hinted == start.hinted
            says = together and may_lead and not taken
            taken = taken or says
            who = leader.loads[0].key if isinstance(leader, Standing) else leader.key
            of_var = None if start.var is None else start.var.index
            assert mine.var is not None
            known = (load.key, who, mine.var.index, of_var, mine.plus - start.plus, crowd)
            ride = self.known.get(known)
            if ride is None:
                ride = self.known[known] = self.model.truth(
                    f"{load.key}/{step} rides with {who}", self._known(load, step, says)
                )
                self.model.cp.add(mine.expr == start.expr).only_enforce_if(ride)
            rides.append((ride, leader, says))
        return rides

    def _own(self, load: LoadTimes, step: int, rides: list[cp.IntVar], crowd: object, says: bool) -> cp.IntVar:
        known = (load.key, tuple(ride.index for ride in rides), crowd)
        own = self.known.get(known)
        if own is None:
            own = self.known[known] = self.model.truth(f"{load.key}/{step} leads", self._known(load, step, says))
            self.model.cp.add_exactly_one(own, *rides)
        return own

    def _known(self, load: LoadTimes, step: int, says: bool) -> bool | None:
        return None if load.starts[step].hinted is None else says
