"""``kitchen-timer VERB``. A verb per module: each has ``add(subparsers)`` and ``run(args)``, the exit status."""

import argparse
import sys
from collections.abc import Callable, Sequence
from importlib import import_module
from pkgutil import iter_modules

from kitchen_timer.kitchen.problems import KitchenProblem

Run = Callable[[argparse.Namespace], int]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb. Exit status: the verb's own; 2 when something was asked for that cannot be."""
    parser = argparse.ArgumentParser(
        prog="kitchen-timer",
        description="Plans each course backwards from its landing, cues every station, replans when reality differs.",
    )
    subparsers = parser.add_subparsers(dest="verb", metavar="VERB", required=True)
    runs: dict[str, Run] = {}
    for module_info in iter_modules(__path__):
        if module_info.name.startswith("_"):
            continue
        module = import_module(f"{__name__}.{module_info.name}")
        if not hasattr(module, "add"):
            continue
        before = set(subparsers.choices)
        module.add(subparsers)
        runs |= dict.fromkeys(set(subparsers.choices) - before, module.run)
    args = parser.parse_args(arguments)
    try:
        return runs[args.verb](args)
    except KitchenProblem as problem:
        sys.stderr.write(f"{problem}\n")
        return 2
    except KeyboardInterrupt:
        return 130
    except BrokenPipeError:  # `| head` has had enough
        return 0
