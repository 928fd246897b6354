"""What can be wrong, named for what is wrong in the kitchen. Each has a stable code and says what to do."""

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Fault:
    """One fault in a file or a message: where it is, what is wrong, what would be right."""

    where: str
    """The path, such as ``hake.components.skin.steps[1].on``."""
    what: str
    cure: str
    file: str = ""
    line: int | None = None

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}: " if self.file and self.line else f"{self.file}: " if self.file else ""
        return f"{place}{self.where}: {self.what}; {self.cure}" if self.cure else f"{place}{self.where}: {self.what}"


class KitchenProblem(Exception):
    """Base of all refusals: ``code`` is stable, the text is one sentence with what happened and what to do."""

    code = "kitchen-problem"

    def __init__(self, sentence: str, cure: str = "", **details: object) -> None:
        super().__init__(f"{sentence} {cure}".strip())
        self.sentence = sentence
        self.cure = cure
        self.details = details


class UnreadableFiles(KitchenProblem):
    """Files that cannot be read as they must; ``faults`` holds every one found."""

    code = "unreadable-files"

    def __init__(self, faults: list[Fault]) -> None:
        super().__init__("\n".join(str(fault) for fault in faults) or "the files cannot be read")
        self.faults = faults


class UnknownTable(KitchenProblem):
    """A command names a course that no table has."""

    code = "unknown-table"


class UnknownStep(KitchenProblem):
    """A command names a step or a load that is in no open course's plan."""

    code = "unknown-step"


class UnknownDish(KitchenProblem):
    """An order names a dish that the book does not have."""

    code = "unknown-dish"


class DishIsOff(KitchenProblem):
    """An order names a dish of which, or of a part of which, there is none left (eighty-six)."""

    code = "dish-is-off"


class NotNow(KitchenProblem):
    """A command that makes no sense in the state that things are in (a course sent twice, say)."""

    code = "not-now"


class AllergiesNotAsked(KitchenProblem):
    """An order that came before the dining room was asked for allergies."""

    code = "allergies-not-asked"


class NotRecorded(KitchenProblem):
    """An event that could not be written down; nothing has changed."""

    code = "not-recorded"


class BadMessage(KitchenProblem):
    """A command that cannot be read; ``faults`` names each field."""

    code = "bad-message"

    def __init__(self, sentence: str, faults: list[Fault] | None = None) -> None:
        super().__init__(sentence)
        self.faults = faults or []


@dataclass(frozen=True)
class Warned:
    """Something that is allowed and will hurt: where, and what."""

    where: str
    what: str
    cure: str = ""
    file: str = ""
    line: int | None = field(default=None)
