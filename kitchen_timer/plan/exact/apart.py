"""The question taken apart: courses and loads that know of one another only by what they take of hands and slots.

It asks for less than the rules do, never for more, so whatever the cheapest answer to it costs, no plan costs less:

- A load that others of its dish come after ends before one of them starts, and stands at least until then; that it
  ends before all of them and stands until the last is left out.
- Slots that stay taken while food waits to go on in them are left out.
- Loads of one component whose step could start together are handled once if they do (rule 5): each then takes its
  share, and the shares of all that could start at that second are no more than one (``Take.share``).
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from kitchen_timer.kitchen.table import After
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.exact.limits import Resource
from kitchen_timer.plan.exact.rows import Open, Row
from kitchen_timer.plan.exact.variables import horizon_of, left_of, plating_of
from kitchen_timer.plan.exact.windows import price_in_hand, windows_of
from kitchen_timer.plan.jobs import waiting_rate
from kitchen_timer.plan.loads import Load
from kitchen_timer.plan.question import CourseKey, LoadKey, Question, Wanted

ROUND_S = 60
"""Rows are whole minutes long, so that neighbouring seconds can share a price."""
FARTHEST = 30.0
"""Shares that differ by more than e to this are as good as all and nothing."""


class Take(NamedTuple):
    """So much of a resource taken from ``since`` to ``until`` seconds after a block starts."""

    resource: Resource
    since: int
    until: int
    amount: Row | float
    """For each second at which the block can start; a number where it is always the same."""
    most: float

    def at(self, second: int) -> float:
        """What is taken when the block starts at that second of its window."""
        return self.amount if isinstance(self.amount, float) else float(self.amount[second])


class Done(NamedTuple):
    """A step in its block: which one, how many seconds after the block's start, how long."""

    step: int
    offset: int
    length_s: int


@dataclass(eq=False)
class Block:
    """Steps that follow one another at once; ``first`` and ``last``: when it can start, in seconds after now."""

    first: int
    last: int
    wait_s: int
    """The most that it may wait after the block before it."""
    open: Open
    length_s: int = 0
    steps: list[Done] = field(default_factory=list)
    takes: list[Take] = field(default_factory=list)
    cost: Row = field(default_factory=lambda: np.zeros(0))
    """From here back, for each start: this block, those before it, and what feeds the load."""
    before: Row = field(default_factory=lambda: np.zeros(0))
    """The part of ``cost`` that is the blocks before."""
    chosen: int = 0


@dataclass(eq=False)
class Piece:
    """A load: its blocks, what feeds it, and what a second of standing costs."""

    key: LoadKey
    portions: int
    rate: float
    keeps_s: int
    blocks: list[Block] = field(default_factory=list)
    feeders: list["Piece"] = field(default_factory=list)
    worth: Row = field(default_factory=lambda: np.zeros(0))
    """Its least cost for each second at which what it waits for can be."""


@dataclass(eq=False)
class Party:
    """A course: when it can land, what it is made of, what comes after it."""

    wanted: Wanted
    first: int
    last: int
    open: Open
    target: int
    """Seconds after now; of a course after another one the earliest that it can be."""
    plating_s: int
    hands: int
    gap_s: int = 0
    """From the landing of the course before it, where that is planned too."""
    pieces: list[Piece] = field(default_factory=list)
    """Loads that nothing else of the course waits for."""
    next: list["Party"] = field(default_factory=list)
    cost: Row = field(default_factory=lambda: np.zeros(0))
    """For each landing, lateness apart."""
    worth: Row = field(default_factory=lambda: np.zeros(0))
    """Its least cost for each landing of the course before it."""

    @property
    def fixed_target(self) -> bool:
        """Whether the target stays where it is whenever the course before lands."""
        return self.wanted.target_at is not None or not isinstance(self.wanted.land, After)


def can_be_taken_apart(question: Question) -> bool:
    """Whether nothing has begun, landed or been announced: then the goal is the cost and nothing else."""
    untouched = all(not w.begun and w.landed_at is None for w in question.courses)
    return untouched and not question.announced and not question.reserve_s


class Apart:
    """All courses and loads, what each takes, and which resources can be short at all."""

    def __init__(
        self, question: Question, splits: Iterable[Load], targets: Mapping[CourseKey, int], hint: Answer
    ) -> None:
        self.question = question
        to_cook: dict[CourseKey, list[Load]] = defaultdict(list)
        for load in splits:
            to_cook[load.key.of_course].append(load)
        self._lefts = {key: [left_of(question, x.key, x.portions, ()) for x in to_cook[key]] for key in targets}
        horizon = horizon_of(question, to_cook, frozenset(targets), hint)
        self._windows = windows_of(question, self._lefts, targets, hint, horizon, no_dearer=True)
        self.most_cost = price_in_hand(question, targets, targets, hint)
        self.room = room_of(question)
        self.parties: dict[CourseKey, Party] = {}
        self.pieces: list[Piece] = []
        self._alike: dict[tuple[str, str, int, int], list[tuple[Piece, Block, int]]] = defaultdict(list)
        for wanted in question.courses:
            if wanted.key in targets:
                self.parties[wanted.key] = self._party(wanted, targets[wanted.key])
        self.tops = [party for party in self.parties.values() if not self._comes_after(party)]
        self.length = self._length()
        """Seconds after now within which everything is taken."""
        self.leaning: dict[tuple[LoadKey, int], Row] = {}
        """For loads that may be handled together: who takes more of the handling, second by second."""
        self.short: dict[Resource, Open] = {}
        """Resources that could be short, and when."""
        self.measure()

    def _party(self, wanted: Wanted, target_at: int) -> Party:
        question, window = self.question, self._windows.of[wanted.key]
        plating_s, hands = plating_of(question, wanted)
        target = (target_at if wanted.target_at is None else wanted.target_at) - question.now
        if wanted.target_at is None and isinstance(wanted.land, After):
            up_at = question.up.get(CourseKey(wanted.table, wanted.land.after))
            target = target if up_at is None else max(target, up_at + wanted.land.gap_s - question.now)
        may_land = np.ones(window.most - window.least + 1, dtype=np.bool_)
        party = Party(wanted, window.least, window.most, may_land, target, plating_s, hands)
        mine = [self._piece(x.key, x.portions, *window.starts[x.key]) for x in self._lefts[wanted.key]]
        for piece in mine:
            names = question.book[piece.key.dish].dependants_of(piece.key.component)
            fed = [x for x in mine if x.key.dish == piece.key.dish and x.key.component in names]
            (fed[0].feeders if fed else party.pieces).append(piece)
        self.pieces += mine
        return party

    def _piece(self, key: LoadKey, portions: int, first: int, last: int) -> Piece:
        component = self.question.book[key.dish].components[key.component]
        piece = Piece(key, portions, waiting_rate(portions, component.keeps_s), component.keeps_s)
        latest = last
        for index, step in enumerate(component.steps):
            length_s = step.length_s(portions)
            if index == 0 or step.may_wait_s:
                may_start = np.ones(max(0, latest - first) + 1, dtype=np.bool_)
                piece.blocks.append(
                    Block(first, first + len(may_start) - 1, step.may_wait_s if index else 0, may_start)
                )
            block = piece.blocks[-1]
            block.steps.append(Done(index, block.length_s, length_s))
            if step.on is not None:
                self._alike[key.dish, key.component, index, length_s].append((piece, block, block.length_s))
            block.length_s += length_s
            first, latest = first + length_s, latest + length_s
        return piece

    def _comes_after(self, party: Party) -> bool:
        land = party.wanted.land
        if not isinstance(land, After):
            return False
        before = self.parties.get(CourseKey(party.wanted.table, land.after))
        if before is None:
            return False
        party.gap_s = before.plating_s + land.gap_s
        before.next.append(party)
        return True

    def _length(self) -> int:
        recovery_s = max((each.recovery_s for each in self.question.kitchen.equipment.values()), default=0)
        ends = [block.last + block.length_s + recovery_s for piece in self.pieces for block in piece.blocks]
        ends += [party.last + party.plating_s for party in self.parties.values()]
        return -(-(max(ends) + 1) // ROUND_S) * ROUND_S

    def measure(self) -> None:
        """Work out what each block takes, and where that could be more than there is; after every closing."""
        could: dict[Resource, Row] = defaultdict(lambda: np.zeros(self.length))
        for piece in self.pieces:
            for block in piece.blocks:
                block.takes = list(self._takes(piece, block))
                starts = block.first + np.flatnonzero(block.open)
                for take in block.takes:
                    edges = np.zeros(self.length + 1)
                    np.add.at(edges, starts + take.since, 1)
                    np.add.at(edges, starts + take.until, -1)
                    could[take.resource] += take.most * (np.cumsum(edges)[:-1] > 0)
        at_pass = Resource("pass", "pass")
        for party in self.parties.values():
            could[at_pass][party.first : party.last + party.plating_s] += party.hands
        self.short = {
            resource: short for resource, row in could.items() if (short := row > self.room[resource] + 1e-9).any()
        }
        for piece in self.pieces:
            for block in piece.blocks:
                block.takes = [take for take in block.takes if take.resource in self.short]

    def share_anew(self) -> None:
        """Share the handling of what may be handled together by how the courses have lately leaned."""
        for together in self._alike.values():
            for piece, block, _ in together if len(together) > 1 else ():
                block.takes = [take for take in self._takes(piece, block) if take.resource in self.short]

    def lean(self, much: float, within_s: int = 5) -> None:
        """Let every load take more of a shared handling around where it is chosen to start."""
        for together in self._alike.values():
            for piece, block, offset in together if len(together) > 1 else ():
                index = next(done.step for done in block.steps if done.offset == offset)
                at = block.chosen + offset
                self._leaning(piece, index)[max(0, at - within_s) : at + within_s + 1] += much

    def _leaning(self, piece: Piece, index: int) -> Row:
        key = (piece.key, index)
        if key not in self.leaning:
            self.leaning[key] = np.zeros(self.length)
        return self.leaning[key]

    def _takes(self, piece: Piece, block: Block) -> Iterable[Take]:
        component, kitchen = self.question.book[piece.key.dish].components[piece.key.component], self.question.kitchen
        for done in block.steps:
            step = component.steps[done.step]
            share, all_portions = self._share(piece, block, done)
            station = Resource("station", component.station)
            for since, until in component.busy_s(done.step, piece.portions, kitchen):
                yield Take(station, done.offset + since, done.offset + until, share, 1.0)
            if step.on is None:
                continue
            whole, rest = divmod(piece.portions, step.fits)
            most = float(-(-piece.portions // step.fits))
            slots: Row | float = most
            if not isinstance(share, float) and rest:
                # Whole slots are its own; of what is left over, ceil(sum / fits) is no less than either of these.
                together = share if all_portions <= step.fits else np.where(share < 1, rest / step.fits, 1.0)
                slots = whole + together
            recovery_s = 0 if component.stays_on(done.step) else kitchen.equipment[step.on].recovery_s
            until = done.offset + done.length_s + recovery_s
            yield Take(Resource("equipment", step.on), done.offset, until, slots, most)

    def _share(self, piece: Piece, block: Block, done: Done) -> tuple[Row | float, int]:
        """Its share of the handling of a step for each start, and the portions of all loads alike."""
        of_all: Row | None = None
        together = self._alike.get((*piece.key[2:4], done.step, done.length_s), [])
        for other, theirs, offset in together:
            shift = offset - done.offset
            a, b = max(theirs.first + shift, block.first), min(theirs.last + shift, block.last)
            if other is piece or a > b:
                continue
            both = block.open[a - block.first : b - block.first + 1]
            both = both & theirs.open[a - shift - theirs.first : b - shift - theirs.first + 1]
            if not both.any():
                continue
            of_all = np.ones(len(block.open)) if of_all is None else of_all
            at = slice(a + done.offset, b + done.offset + 1)
            apart = self._leaning(other, done.step)[at] - self._leaning(piece, done.step)[at]
            of_all[a - block.first : b - block.first + 1] += both * np.exp(np.clip(apart, -FARTHEST, FARTHEST))
        portions = sum(other.portions for other, _, _ in together)
        return (1.0, portions) if of_all is None else (1.0 / of_all, portions)


def room_of(question: Question) -> dict[Resource, int]:
    """How much there is of every resource."""
    kitchen = question.kitchen
    room = {Resource("station", name): station.cooks for name, station in kitchen.stations.items()}
    room |= {Resource("equipment", name): equipment.slots for name, equipment in kitchen.equipment.items()}
    return room | {Resource("pass", "pass"): kitchen.pass_board.hands}
