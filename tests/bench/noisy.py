"""``python -m tests.bench.noisy``: whole evenings in which nothing takes as long as the book says.

The demo's evening and generated kitchens, the same seeds for every way of planning. Prints what stood too long, what
moved after it was announced (judged from the log alone), how late courses landed, and how many landed by what was
promised. It fails where a plan moves a step that has started.
"""

import argparse
import sys
import time
from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import UTC, date, datetime
from math import sqrt
from random import Random
from statistics import fmean, quantiles

from kitchen_timer.demo.evening import demo_evening
from kitchen_timer.files import read_orders
from kitchen_timer.kitchen.table import Asap, Plate
from kitchen_timer.live.ranges import with_ranges
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.plan.cost import worth
from kitchen_timer.plan.greedy import place_as
from kitchen_timer.plan.prepare import answer_of, place_all, prepare, starts_in
from kitchen_timer.plan.question import Question
from kitchen_timer.plan.search import Search
from kitchen_timer.service.commands import CourseAsked, TakeOrder
from tests.bench.evenings import demand_s, some_course
from tests.bench.kitchens import _DEMO, SKERRYMOOT, kitchen_and_book
from tests.bench.noisy_figures import Figures, figures_of
from tests.bench.noisy_kitchen import Noise, NoisyEvening, Played, by_the_book, exactly, fifteen
from tests.bench.noisy_quiet import named

SERVICE = date(2026, 11, 27)
OPENS = int(datetime(2026, 11, 27, 18, 30, tzinfo=UTC).timestamp())
NOISES: dict[str, Noise] = {"fifteen": fifteen, "book": by_the_book, "none": exactly}
Orders = list[tuple[int, TakeOrder]]


def demo_orders(most: int | None = None) -> Orders:
    """The demo's evening, or the first orders of it."""
    kitchen, book = kitchen_and_book(SKERRYMOOT)
    evening = demo_evening(read_orders(_DEMO / "evening.yaml", kitchen, book), kitchen.zone)
    return [(guest.at, guest.order) for guest in evening.orders[:most]]


def made_up_orders(kitchen_seed: int, seed: int, courses: int, load: float = 0.6) -> Orders:
    """So many courses, each table's own, so far apart that the busiest resource is taken for ``load`` of the time."""
    kitchen, book = kitchen_and_book(kitchen_seed)
    chance = Random(f"noisy {kitchen_seed} {seed}")
    at, orders = float(OPENS), []
    for number in range(1, courses + 1):
        at += chance.expovariate(load / demand_s(kitchen_seed))
        name, portions, _ = some_course(chance, kitchen, book)
        plates = tuple(Plate(dish=dish, qty=qty) for dish, qty in portions)
        orders.append((int(at), TakeOrder(str(number), (CourseAsked(name, plates, Asap()),), allergies_asked=True)))
    return orders


class InlinePlanner:
    """The plan at once, then rounds of search, handed over as the live planner hands them over, before ``ask`` ends."""

    def __init__(
        self, quick: Callable[[Question, Answer | None], Answer], rounds: int = 0, reserve: bool = True
    ) -> None:
        """``reserve``: some of every ``keeps`` is left unused where that costs little, as in service."""
        self.quick = quick
        self.reserve = reserve
        self.rounds = rounds
        self.cpu_s: list[float] = []

    def ask(
        self, token: int, question: Question, previous: Answer | None, adopt: Callable[[int, Answer, bool], bool]
    ) -> None:
        if not self.reserve:
            question = replace(question, reserve_s={})
        answer = self.answer_now(question, previous)
        if not adopt(token, answer, True):
            return
        better = with_ranges(question, plan_quickly(question, previous, remedies=False, patient=True))
        if worth(question, better) < worth(question, answer) - 1e-6 and adopt(token, better, self.rounds > 0):
            answer = better
        if self.rounds:
            adopt(token, searched(question, answer, self.rounds, token), False)

    def answer_now(self, question: Question, previous: Answer | None) -> Answer:
        began = time.process_time()
        answer = self.quick(question, previous)
        self.cpu_s.append(time.process_time() - began)
        return answer

    def close(self) -> None:
        pass


def searched(question: Question, answer: Answer, rounds: int, seed: int) -> Answer:
    """What so many rounds of iterated greedy make of a plan."""
    ready = prepare(question)
    line = ready.line()
    jobs = [ready.jobs[course.key] for course in answer.courses if course.key in ready.jobs]
    for job in sorted(jobs, key=lambda job: (not job.has_begun, answer.by_course[job.key].landing_at)):
        if job.landed is None and (job.follows is None or job.up_before is not None or job.follows in line.up):
            place_as(line, job, answer.by_course[job.key].landing_at - question.now, starts_in(answer, ready, job))
    place_all(ready, line, [key for key in ready.jobs if key not in line.placed])
    search = Search(ready, line, seed)
    for _ in range(rounds if search.movable > 1 else 0):
        search.once()
    return answer_of(ready, line)


def play(
    kitchen_seed: int, orders: Orders, planner: InlinePlanner, noise: Noise = fifteen, seed: int = 0
) -> tuple[Played, Figures]:
    """One evening to its end."""
    kitchen, book = kitchen_and_book(kitchen_seed)
    played = NoisyEvening(kitchen, book, SERVICE, orders, planner, noise, seed).play()
    return played, figures_of(played)


def percentile(values: Iterable[float], percent: int) -> float:
    """Of at least one value; 0 of none."""
    known = sorted(values)
    return quantiles(known, n=100, method="inclusive")[percent - 1] if len(known) > 1 else (known or [0.0])[0]


def promises_of(figures: Figures) -> str:
    """How many courses landed by what was promised when they were ordered."""
    if not figures.promises:
        return "nothing promised"
    by = sum(real <= promise for _, promise, real in figures.promises)
    sooner = sum(real <= planned for planned, _, real in figures.promises)
    count = len(figures.promises)
    low, high = surely(by, count)
    share, bare = 100 * by / count, 100 * sooner / count
    return f"by promise {share:.0f} % ({low:.0f} to {high:.0f}), by plan {bare:.0f} % of {count}"


def surely(good: int, of: int) -> tuple[float, float]:
    """Per cent: the 95 % interval of a share by E. B. Wilson, Journal of the American Statistical Association 22, 1927
    (formula from memory). What is of one evening hangs together: the truth is somewhat wider."""
    if not of:
        return 0.0, 100.0
    z, share = 1.96, good / of
    middle = (share + z * z / (2 * of)) / (1 + z * z / of)
    half = z * sqrt(share * (1 - share) / of + z * z / (4 * of * of)) / (1 + z * z / of)
    return 100 * (middle - half), 100 * (middle + half)


def line_of(name: str, figures: Figures) -> str:
    """One evening's figures, or several evenings', in one line."""
    over = [each.over_s for each in figures.past_keeps]
    low, high = surely(len(figures.stood) - len(over), len(figures.stood))
    return (
        f"{name:28} {len(figures.stood):5} loads  inside keeps {100 * figures.inside:6.2f} % ({low:.1f} to {high:.1f})"
        f"  past by {fmean(over) if over else 0:4.0f} s mean {max(over, default=0):4} s most"
        f"  late {fmean(figures.lates_s or [0]):5.0f} s mean {percentile(figures.lates_s, 90):5.0f} p90"
        f"  spread {fmean(figures.spreads_s or [0]):4.0f} s"
        f"  moved without a reason named {len(figures.unreasoned):3}; {figures.quiet.line()}"
        f"  {promises_of(figures)}  left {figures.open_at_the_end}"
    )


def say(*words: object) -> None:
    """One line for whoever ran the command."""
    sys.stdout.write(" ".join(map(str, words)) + "\n")
    sys.stdout.flush()


def promising(question: Question, previous: Answer | None) -> Answer:
    """The plan at once with the range of every landing."""
    return with_ranges(question, plan_quickly(question, previous))


WAYS = {"as in service": True, "without reserve": False}


def main() -> None:
    """Play, print, and add up."""
    asked = argparse.ArgumentParser()
    asked.add_argument("--noise", choices=sorted(NOISES), default="fifteen")
    asked.add_argument("--kitchens", default="0,1,2,3")
    asked.add_argument("--seeds", type=int, default=1)
    asked.add_argument("--courses", type=int, default=10)
    asked.add_argument("--load", type=float, default=0.35)
    asked.add_argument("--rounds", type=int, default=0, help="rounds of search after each quick plan")
    asked.add_argument("--show", type=int, default=0, help="name so many of what stood too long or moved")
    wanted = asked.parse_args()
    for way, reserve in WAYS.items():
        total = Figures()
        for kitchen_seed in map(int, wanted.kitchens.split(",")):
            for seed in range(wanted.seeds):
                orders = orders_of(kitchen_seed, seed, wanted.courses, wanted.load)
                began = time.process_time()
                _, figures = play(
                    kitchen_seed, orders, InlinePlanner(promising, wanted.rounds, reserve), NOISES[wanted.noise], seed
                )
                cpu_s = time.process_time() - began
                say(line_of(f"{way}, kitchen {kitchen_seed} seed {seed}", figures), f"{cpu_s:.1f} s CPU")
                for stood in figures.past_keeps[: wanted.show]:
                    say("   stood", stood.key, stood.stood_s, "of", stood.keeps_s)
                for moved in figures.moved[: wanted.show]:
                    say("   moved", moved.step, moved.start_at - moved.due_at, moved.reason or "no reason named")
                for words in named(figures.quiet.for_nothing, wanted.show):
                    say("   judged:", words)
                total += figures
        say(line_of(f"{way}, all", total))


def orders_of(kitchen_seed: int, seed: int, courses: int, load: float) -> Orders:
    """Of the demo's evening, or of a made-up one."""
    if kitchen_seed == SKERRYMOOT:
        return demo_orders(courses)
    return made_up_orders(kitchen_seed, seed, courses, load)


if __name__ == "__main__":
    main()
