"""All of the common due date benchmark through the whole planner: ``python -m tests.bench.due_date``.

Instances and how they become questions: see tests/plan/exact/test_common_due_date.py. Source: Biskup and Feldmann,
"Benchmarks for scheduling on a single machine against restrictive and unrestrictive common due dates", Computers &
Operations Research 28 (2001) 787-801; sch10 and sch20 of the OR-Library (J E Beasley). The ten instances of ten jobs
and their published optima were read in a copy of it, and the optima computed again in two exact ways. The optima of
twenty jobs are computed in one exact way (early sets, V-shaped); the OR-Library's own are upper bounds of 1998, most
of them above these. The jobs of twenty are read from a folder with sch20.txt (``--data``) and left out without one.
"""

import argparse
import sys
import time
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.choose import plan_fully
from tests.plan.exact.test_common_due_date import Job, asked

SHARES = (Fraction(1, 5), Fraction(2, 5), Fraction(3, 5), Fraction(4, 5))
"""Of all the work, how long until the due date."""

# Of each job: seconds / what a second too early costs / what a second too late costs.
TEN_JOBS = (
    "20/4/5 6/1/15 13/5/13 13/2/13 12/7/6 12/9/8 12/5/15 3/6/1 12/6/8 13/10/1",
    "6/5/9 19/8/12 20/5/1 16/8/15 11/3/12 11/6/1 5/9/13 11/7/1 10/10/2 20/5/1",
    "12/6/12 11/4/9 7/6/3 20/5/2 11/9/4 10/4/8 19/3/10 20/8/2 9/4/10 6/9/15",
    "19/7/15 4/1/6 15/7/6 3/1/4 11/5/11 9/1/15 12/7/7 8/9/3 8/8/3 13/4/15",
    "5/8/4 16/7/3 2/7/8 6/7/6 10/1/2 8/8/8 5/1/5 16/10/3 7/2/11 19/8/15",
    "11/9/7 9/4/15 9/8/11 10/4/8 10/8/9 6/5/15 18/4/2 5/1/4 5/6/5 5/3/14",
    "18/9/10 1/10/12 16/8/13 13/10/10 9/4/1 5/2/7 12/8/15 13/2/5 4/10/13 12/8/14",
    "4/10/14 14/7/9 4/9/1 16/6/12 9/10/7 4/9/14 5/2/12 2/3/5 3/4/6 18/2/13",
    "10/1/2 6/4/6 11/9/3 20/3/14 8/6/14 3/7/7 18/6/10 10/4/6 1/8/15 5/7/13",
    "16/2/6 19/10/3 18/10/6 3/9/1 8/2/6 2/4/14 12/10/7 18/5/7 20/2/8 11/1/12",
)
OPTIMA_OF_TEN = (
    (1936, 1025, 841, 818),
    (1042, 615, 615, 615),
    (1586, 917, 793, 793),
    (2139, 1230, 815, 803),
    (1187, 630, 521, 521),
    (1521, 908, 755, 755),
    (2170, 1374, 1101, 1083),
    (1720, 1020, 610, 540),
    (1574, 876, 582, 554),
    (1869, 1136, 710, 671),
)
"""For each instance, at each of ``SHARES``."""
OPTIMA_OF_TWENTY = (
    (4394, 3066, 2986, 2986),
    (8430, 4847, 3206, 2980),
    (6210, 3838, 3583, 3583),
    (9188, 5118, 3317, 3040),
    (4215, 2495, 2173, 2173),
    (6527, 3582, 3010, 3010),
    (10455, 6238, 4126, 3878),
    (3920, 2145, 1638, 1638),
    (3465, 2096, 1965, 1965),
    (4979, 2925, 2110, 1995),
)


def jobs_of(text: str) -> list[Job]:
    """The jobs of an instance written on one line."""
    jobs = [job.split("/") for job in text.split()]
    return [(int(length), int(alpha), int(beta)) for length, alpha, beta in jobs]


def due_of(jobs: list[Job], share: Fraction) -> int:
    """The common due date."""
    return int(share * sum(length for length, _, _ in jobs))


def read(path: Path) -> list[list[Job]]:
    """Instances of a file of the OR-Library: how many, then each with its number of jobs before them."""
    numbers = iter(int(word) for word in path.read_text().split())
    return [[(next(numbers), next(numbers), next(numbers)) for _ in range(next(numbers))] for _ in range(next(numbers))]


def played(instances: list[list[Job]], optima: tuple[tuple[int, ...], ...], seconds: float) -> Iterator[str]:
    """A line for each instance and due date, and one with the sum."""
    above: list[float] = []
    for number, (jobs, best) in enumerate(zip(instances, optima, strict=True), start=1):
        for share, optimum in zip(SHARES, best, strict=True):
            answer = planned(jobs, share, seconds)
            above.append(100 * (answer.cost / optimum - 1))
            bound = "" if answer.bound is None else f"{answer.bound:9.1f}"
            what = f"{len(jobs)} jobs, {number:2}, {float(share)}"
            yield f"{what}: {answer.cost:8.1f} of {optimum:6} {above[-1]:6.2f} % {bound}"
    reached = sum(each < 0.01 for each in above)
    yield f"{reached} of {len(above)} reached; above by {sum(above) / len(above):.2f} %, at most {max(above):.2f} %"


def planned(jobs: list[Job], share: Fraction, seconds: float) -> Answer:
    """The whole planner's answer, which breaks no rule."""
    of = asked(jobs, due_of(jobs, share))
    answer = plan_fully(of, seconds, time.monotonic)
    assert breaks(of, answer) == ()
    return answer


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seconds", type=float, default=4.0, help="for each search")
    parser.add_argument("--data", type=Path, help="a folder with sch20.txt")
    given = parser.parse_args()
    for line in played([jobs_of(text) for text in TEN_JOBS], OPTIMA_OF_TEN, given.seconds):
        sys.stdout.write(line + "\n")
        sys.stdout.flush()
    if given.data is None or not (given.data / "sch20.txt").exists():
        sys.exit(0)
    for line in played(read(given.data / "sch20.txt"), OPTIMA_OF_TWENTY, given.seconds):
        sys.stdout.write(line + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
