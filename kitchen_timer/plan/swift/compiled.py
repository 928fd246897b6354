"""Functions that are compiled to machine code when they are first called, and kept for the next start.

What is compiled is kept in a folder of its own for each state of this package: the compiler looks for changes in a
function's own file only, not in those that it calls.
"""

from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Any, TypeVar, cast

import numba
from platformdirs import user_cache_path

F = TypeVar("F", bound=Callable[..., Any])


def _kept_in() -> Path:
    text = b"".join(file.read_bytes() for file in sorted(Path(__file__).parent.glob("*.py")))
    return user_cache_path("kitchen-timer") / f"planner-{sha256(text).hexdigest()[:12]}"


numba.config.CACHE_DIR = str(_kept_in())  # type: ignore[attr-defined]


def compiled(function: F) -> F:
    """Compile a function of arrays and numbers; other threads run on while it works.

    Where no folder can be written to, it is compiled anew at every start.
    """
    try:
        return cast(F, numba.njit(cache=True, nogil=True)(function))
    except RuntimeError:
        return cast(F, numba.njit(nogil=True)(function))
