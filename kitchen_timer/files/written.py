"""One YAML file as it is written: plain values, and the line that each of them stands on.

Read from ruamel.yaml's nodes and not from its finished objects, because only the nodes still know every line and both
of two keys that are the same. YAML 1.2: ``on`` is a word, ``19:02`` is text.
"""

import warnings
from collections.abc import Hashable
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from kitchen_timer.kitchen.problems import Fault

Place = tuple[str | int, ...]
"""Keys and list positions from the top of a file to a value: ``("components", "skin", "steps", 1, "on")``."""

MOST_VALUES = 200_000
"""More values than any kitchen writes: a file that unfolds to more (aliases of aliases) is refused."""

_TAG = "tag:yaml.org,2002:"


class UnreadableText(Exception):
    """A file of which nothing can be used; ``fault`` says why."""

    def __init__(self, fault: Fault) -> None:
        super().__init__(str(fault))
        self.fault = fault


@dataclass
class Written:
    """A file's values, where each stands, and what was wrong with the YAML itself (keys given twice, say)."""

    file: str
    data: Any
    lines: dict[Place, int]
    """Line, from 1, of every key and every item of a list."""
    broken: list[tuple[Place, int, str, str]] = field(default_factory=list)
    """What is wrong with the YAML itself: place, line, what, cure."""
    top: str = ""
    """What a path starts with: the dish's id in the book, nothing elsewhere."""

    @property
    def faults(self) -> list[Fault]:
        """What is wrong with the YAML itself."""
        return [Fault(self.path(place), what, cure, self.file, line) for place, line, what, cure in self.broken]

    def line(self, place: Place) -> int:
        """The line of a value; of the nearest value that holds it, where it is not in the file."""
        while place not in self.lines and place:
            place = place[:-1]
        return self.lines.get(place, 1)

    def path(self, place: Place) -> str:
        """The path as people read it, such as ``hake.components.skin.steps[1].on``."""
        text = self.top
        for part in place:
            text += f"[{part}]" if isinstance(part, int) else f".{part}" if text else part
        return text or "(whole file)"

    def at(self, place: Place) -> Any:
        """The value at a place; None where there is none."""
        value = self.data
        for part in place:
            try:
                value = value[part]
            except (KeyError, IndexError, TypeError):
                return None
        return value

    def fault(self, place: Place, what: str, cure: str) -> Fault:
        """A fault at a place of this file."""
        return Fault(self.path(place), what, cure, self.file, self.line(place))


def read_written(path: Path) -> Written:
    """Reads one file. :class:`UnreadableText` when it is missing, empty, in another encoding or no YAML."""
    return read_text(_text_of(path), str(path))


def read_text(text: str, file: str) -> Written:
    """Reads YAML text; ``file`` is what faults call it. :class:`UnreadableText` when it is empty or no YAML."""
    yaml = YAML(typ="rt", pure=True)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # an anchor used again is harmless here
            node = yaml.compose(text)
        if node is None:
            raise _unreadable(file, 1, "the file is empty", "write what belongs in it, or take it away")
        return _Unfolding(file).unfold(node)
    except MarkedYAMLError as problem:
        mark = problem.problem_mark or problem.context_mark
        what = " ".join(part for part in (problem.context, problem.problem) if part).replace("\n", " ")
        line = mark.line + 1 if mark is not None else 1
        cure = "look at this line and the one before: indentation, a colon without a space after it, an open quote"
        raise _unreadable(file, line, f"this is no YAML ({what})", cure) from None
    except RecursionError:
        raise _unreadable(file, 1, "lists and keys are nested too deep", "no file of a kitchen needs that") from None
    except (YAMLError, ValueError, AssertionError, AttributeError, IndexError, KeyError, TypeError) as problem:
        # ruamel leaks these from broken directives, tags and numbers.
        what = str(problem).splitlines()[0] if str(problem) else type(problem).__name__
        cure = "write plain keys and values, without directives or tags"
        raise _unreadable(file, 1, f"this is no YAML ({what})", cure) from None


def _unreadable(file: str, line: int | None, what: str, cure: str) -> UnreadableText:
    return UnreadableText(Fault("(whole file)", what, cure, file, line))


def _text_of(path: Path) -> str:
    try:
        raw = path.read_bytes()
    except FileNotFoundError:
        raise _unreadable(str(path), None, "there is no such file", "write it, or correct the name") from None
    except IsADirectoryError:
        raise _unreadable(str(path), None, "this is a folder", "name a file") from None
    except (OSError, ValueError) as problem:  # ValueError: a name with a zero byte in it
        reason = getattr(problem, "strerror", None) or str(problem)
        raise _unreadable(str(path), None, f"it cannot be opened ({reason})", "see who may read it") from None
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = raw[: problem.start].count(b"\n") + 1
        what = f"byte {problem.start + 1} is not UTF-8 text (0x{raw[problem.start]:02x})"
        raise _unreadable(str(path), line, what, "save the file again with the encoding UTF-8") from None


class _Unfolding:
    """Turns nodes into plain values, keeping lines and collecting faults."""

    def __init__(self, file: str) -> None:
        self.written = Written(file, None, {})
        self.open: set[int] = set()
        self.count = 0

    def unfold(self, node: Node) -> Written:
        self.written.lines[()] = node.start_mark.line + 1
        self.written.data = self.value(node, ())
        return self.written

    def value(self, node: Node, place: Place) -> Any:
        self.count += 1
        if self.count > MOST_VALUES:
            raise _unreadable(self.written.file, None, "aliases unfold to far too many values", "write them out")
        if isinstance(node, ScalarNode):
            return self.scalar(node, place)
        if id(node) in self.open:
            self.fault(node, place, "an alias (*) stands for what it is itself a part of", "write the value out")
            return None
        self.open.add(id(node))
        try:
            if isinstance(node, SequenceNode):
                return [self.item(child, (*place, i)) for i, child in enumerate(node.value)]
            assert isinstance(node, MappingNode)
            return self.mapping(node, place)
        finally:
            self.open.discard(id(node))

    def item(self, node: Node, place: Place) -> Any:
        self.written.lines[place] = node.start_mark.line + 1
        return self.value(node, place)

    def mapping(self, node: MappingNode, place: Place) -> dict[str, Any]:
        values: dict[str, Any] = {}
        for key_node, value_node in node.value:
            if not isinstance(key_node, ScalarNode):
                self.fault(key_node, place, "a key must be a word, not a list or a mapping", "write one word")
                continue
            key, line = str(key_node.value), key_node.start_mark.line + 1
            here = (*place, key)
            if key == "<<":
                self.fault(key_node, place, "keys cannot be merged in with <<", "write them out")
                continue
            if key in values:
                first = self.written.lines[here]
                self.fault(key_node, here, f"{key!r} is given twice, first in line {first}", "take one of the two out")
                continue
            self.written.lines[here] = line
            values[key] = self.value(value_node, here)
        return values

    def scalar(self, node: ScalarNode, place: Place) -> Hashable:
        tag = str(node.tag or "").removeprefix(_TAG)
        text = str(node.value)
        try:
            match tag:
                case "str":
                    return text
                case "null":
                    return None
                case "bool":
                    return text.lower() in ("true", "yes", "on", "y")
                case "int":
                    return _whole_number(text)
                case "float":
                    return float(text.lower().replace("_", "").replace(".inf", "inf").replace(".nan", "nan"))
                case "timestamp":
                    return date.fromisoformat(text) if len(text) == 10 else text
                case "value" | "merge":
                    return text
        except ValueError:
            return text  # what reads it says what should stand here
        self.fault(node, place, f"a value marked {tag!r} cannot be read", "write it plainly")
        return None

    def fault(self, node: Node, place: Place, what: str, cure: str) -> None:
        self.written.broken.append((place, node.start_mark.line + 1, what, cure))


def _whole_number(text: str) -> int:
    plain = text.replace("_", "")
    for prefix, base in (("0x", 16), ("0o", 8), ("0b", 2)):
        if plain.lower().lstrip("+-").startswith(prefix):
            return int(plain, base)
    return int(plain)
