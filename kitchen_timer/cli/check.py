"""``kitchen-timer check``: every fault and every warning of a kitchen and its book, before service."""

import argparse
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from kitchen_timer.cli.out import complain, say
from kitchen_timer.files import read_kitchen
from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.problems import UnreadableFiles, Warned
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.plan import menus


def add(subparsers: Any) -> None:
    """Adds the verb ``check``."""
    parser = subparsers.add_parser("check", help="read a kitchen and its book; report every fault and warning")
    parser.add_argument("--kitchen", type=Path, required=True, metavar="DIR", help="holds kitchen.yaml and book/")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Prints what is wrong and what will hurt; 0 when the files can be used, 2 when not."""
    try:
        kitchen, book, warned = read_kitchen(args.kitchen)
    except UnreadableFiles as problem:
        return refuse(problem, say)
    warnings = [*warned, *never_lands(kitchen, book)]
    for warning in warnings:
        say(told(warning))
    count = "no warnings" if not warnings else "1 warning" if len(warnings) == 1 else f"{len(warnings)} warnings"
    say(f"{kitchen.name}: {len(kitchen.stations)} stations, {len(book)} dishes, no faults, {count}.")
    return 0


def refuse(problem: UnreadableFiles, tell: Callable[[str], None] = complain) -> int:
    """Prints every fault and gives the exit status of files that cannot be read."""
    for fault in problem.faults:
        tell(f"fault    {fault}")
    count = len(problem.faults)
    tell(f"{count} fault{'' if count == 1 else 's'}: these files cannot be used yet.")
    return 2


def told(warning: Warned) -> str:
    """A warning in one line."""
    place = f"{warning.file}:{warning.line}: " if warning.file and warning.line else ""
    cure = f"; {warning.cure}" if warning.cure else ""
    return f"warning  {place}{warning.where}: {warning.what}{cure}"


def never_lands(kitchen: Kitchen, book: Book) -> Iterator[Warned]:
    """Dishes, and pairs of them, that cannot land inside their ``keeps`` with the kitchen to themselves."""
    for never in menus.never_lands(kitchen, book):
        (dish, plates), *others = never.portions
        many = "one plate" if plates == 1 else f"{plates} plates for one table"
        if others:
            many = f"one plate of it with one of {others[0][0]}"
        what = f"{many} can never land with everything inside its keeps, even in an empty kitchen: {never.why}"
        yield Warned(dish, what, f"{never.would_help} would help")
