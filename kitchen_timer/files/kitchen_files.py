"""Reads a kitchen's folder: ``kitchen.yaml`` and ``book/*.yaml``, one dish a file."""

from collections.abc import Collection
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from kitchen_timer.files.warned import warnings_of
from kitchen_timer.files.wording import nearest, refusals, unknown_keys
from kitchen_timer.files.written import UnreadableText, Written, read_written
from kitchen_timer.kitchen.dish import Book, Dish
from kitchen_timer.kitchen.problems import Fault, UnreadableFiles, Warned
from kitchen_timer.kitchen.station import Kitchen

Model = TypeVar("Model", bound=BaseModel)


def read_kitchen(folder: Path | str) -> tuple[Kitchen, Book, tuple[Warned, ...]]:
    """The kitchen and its book, and what is allowed there and will hurt.

    Raises :class:`UnreadableFiles` with every fault of every file, each with file, line, path and cure.
    """
    folder = Path(folder)
    faults: list[Fault] = []
    if not folder.is_dir():
        cure = "name the folder that holds kitchen.yaml and book/"
        raise UnreadableFiles([Fault("(whole folder)", "there is no such folder", cure, str(folder))])
    kitchen_text, kitchen = _read(folder / "kitchen.yaml", Kitchen, faults)
    stations = _names(kitchen_text, "stations")
    equipment = _names(kitchen_text, "equipment")
    book: Book = {}
    texts: dict[str, Written] = {}
    first_line: dict[str, tuple[str, int]] = {}
    paths = _book_files(folder, faults)
    for path in paths:
        text, dish = _read(path, Dish, faults, stations, equipment)
        if text is None:
            continue
        name, line = text.at(("dish",)), text.line(("dish",))
        if isinstance(name, str) and name in first_line:
            file, first = first_line[name]
            what = f"dish {name!r} is in the book already ({file}, line {first})"
            faults.append(text.fault(("dish",), what, "give one of the two another id, or take it out"))
        elif isinstance(name, str):
            first_line[name] = (str(path), line)
        if dish is not None:
            book.setdefault(dish.dish, dish)
            texts.setdefault(dish.dish, text)
    if faults or kitchen is None or kitchen_text is None:
        raise UnreadableFiles(by_line(faults))
    return kitchen, book, warnings_of(kitchen, book, kitchen_text, texts)


def by_line(faults: list[Fault]) -> list[Fault]:
    """The faults of each file from its first line to its last, files in the order in which they were read."""
    files = list(dict.fromkeys(fault.file for fault in faults))
    return sorted(faults, key=lambda fault: (files.index(fault.file), fault.line or 0))


def _book_files(folder: Path, faults: list[Fault]) -> list[Path]:
    book = folder / "book"
    paths = sorted(p for p in book.glob("*") if p.suffix in (".yaml", ".yml") and not p.name.startswith("."))
    if not book.is_dir():
        cure = "make the folder book/ and write one dish a file into it"
        faults.append(Fault("(whole folder)", "there is no book", cure, str(book)))
    elif not paths:
        cure = "write one dish a file into it, such as book/hake.yaml"
        faults.append(Fault("(whole folder)", "there is no dish in the book", cure, str(book)))
    return paths


def _read(
    path: Path,
    model: type[Model],
    faults: list[Fault],
    stations: Collection[str] | None = None,
    equipment: Collection[str] | None = None,
) -> tuple[Written | None, Model | None]:
    """One file as text and as model; what stops either goes to ``faults``."""
    try:
        written = read_written(path)
    except UnreadableText as problem:
        faults.append(problem.fault)
        return None, None
    before = len(faults)
    if model is Dish:
        name = written.at(("dish",))
        written.top = name if isinstance(name, str) else path.stem
    read = read_model(written, model, faults)
    if model is Dish:
        own = list(_misnamed(written, stations, equipment))
        if own:
            read = None
        # The model refuses a wrong `after` too, but for the dish as a whole: say it once, where it stands.
        faults[before:] = [f for f in faults[before:] if not f.what.startswith("after ")] + own
    return written, read


def read_model(written: Written, model: type[Model], faults: list[Fault]) -> Model | None:
    """The model that a file's values make; None, and its faults appended, where they make none."""
    found = [*written.faults, *unknown_keys(model, written.data, written)]
    read: Model | None = None
    try:
        read = model.model_validate(written.data)
    except ValidationError as problem:
        found += refusals(problem, written)
    except RecursionError:
        found.append(written.fault((), "lists and keys are nested too deep", "no file of a kitchen needs that"))
    faults.extend(found)
    return None if found else read


def _names(text: Written | None, key: str) -> Collection[str] | None:
    """The ids a kitchen file gives under a key, even where the file has other faults; None: it cannot be told."""
    value = text.at((key,)) if text is not None else None
    if isinstance(value, dict):
        return list(value)
    return [] if text is not None and value is None else None


def _misnamed(written: Written, stations: Collection[str] | None, equipment: Collection[str] | None) -> list[Fault]:
    """Stations, equipment and components that a dish names and nobody has; loops of ``after``."""
    faults: list[Fault] = []
    components = written.at(("components",))
    if not isinstance(components, dict):
        return faults

    def look_up(place: tuple[str | int, ...], known: Collection[str] | None, what: str, many: str) -> None:
        name = written.at(place)
        if known is not None and isinstance(name, str) and name not in known:
            faults.append(written.fault(place, f"there is no {what} {name!r}", nearest(name, known, many)))

    for key, component in components.items():
        if not isinstance(component, dict):
            continue
        here = ("components", key)
        look_up((*here, "station"), stations, "station", "stations of kitchen.yaml")
        for i, step in enumerate(_list(component.get("steps"))):
            if isinstance(step, dict):
                look_up((*here, "steps", i, "on"), equipment, "equipment", "equipment of kitchen.yaml")
        for i, _ in enumerate(_list(component.get("after"))):
            look_up((*here, "after", i), list(components), "component", "components of this dish")
    for loop in _loops({key: _list(c.get("after")) for key, c in components.items() if isinstance(c, dict)}):
        what = f"after goes round in a loop: {' -> '.join([*loop, loop[0]])}"
        faults.append(written.fault(("components", loop[0], "after"), what, "take one of these out"))
    return faults


def _list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []


def _loops(after: dict[str, list[Any]]) -> list[list[str]]:
    """Every loop once, from the component that the file names first."""
    loops: list[list[str]] = []
    settled: set[str] = set()
    for start in after:
        trail: list[str] = []
        here: str | None = start
        # Depth first with an explicit trail: each component is settled once.
        stack = [(start, iter(after[start]))] if start not in settled else []
        trail = [start] if stack else []
        while stack:
            here, others = stack[-1]
            other = next((o for o in others if isinstance(o, str) and o in after and o not in settled), None)
            if other is None:
                settled.add(here)
                stack.pop()
                trail.pop()
            elif other in trail:
                loops.append(trail[trail.index(other) :])
            else:
                stack.append((other, iter(after[other])))
                trail.append(other)
    return loops
