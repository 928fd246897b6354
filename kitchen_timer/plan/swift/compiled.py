"""Functions that are compiled to machine code when they are first called, and kept for the next start.

What is compiled is kept in a folder of its own for each state of what it is made from: the compiler looks for changes
in a function's own file only, not in those that it calls.
"""

from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Any, TypeVar, cast

import numba
from platformdirs import user_cache_path

F = TypeVar("F", bound=Callable[..., Any])


def _kept_in() -> Path:
    here = Path(__file__).parent
    made_from = [*sorted(here.glob("*.py")), here.parent / "jobs.py", here.parent / "cost.py"]
    text = b"".join(file.read_bytes() for file in made_from)
    return user_cache_path("kitchen-timer") / f"planner-{sha256(text).hexdigest()[:12]}"


numba.config.CACHE_DIR = str(_kept_in())  # type: ignore[attr-defined]


def compiled(function: F) -> F:
    """Compile a function of arrays and numbers; other threads run on while it works.

    Where no folder can be written to, it is compiled anew at every start. It does not count who holds an array, which
    took a third of the time: what it is given is held by whoever calls, and it makes none of its own.
    """
    how: dict[str, Any] = {"nogil": True, "_nrt": False}
    try:
        return cast(F, numba.njit(cache=True, **how)(function))
    except RuntimeError:
        return cast(F, numba.njit(**how)(function))
