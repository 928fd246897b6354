"""Whether the compiled search is there to be used: until then the search in Python does its work.

The compiler is loaded with the search only, not by processes that plan at once.
"""

import importlib
import threading

_READY = threading.Event()


def is_ready() -> bool:
    """Whether all is compiled."""
    return _READY.is_set()


def get_ready() -> None:
    """Compile all, or load what was compiled before: some 50 s the first time on a machine, then half a second.

    Where there is no compiler (a Python that is newer than it) nothing is ever ready.
    """
    if not is_ready():
        try:
            run = importlib.import_module("kitchen_timer.plan.swift.run")
        except ModuleNotFoundError:
            return
        run.compile_all()
        _READY.set()
