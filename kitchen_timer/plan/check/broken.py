"""What is wrong with a plan, and what a plan costs."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Break:
    """One rule broken at one place."""

    rule: int
    """1 to 9 as in the rules of a plan; 0: started food is misplaced, or the plan's own figures do not add up."""
    where: str
    """The course, load or step (``6/mains/hake/fish/1/0``), the station, the equipment, or ``pass``."""
    what: str
    """One sentence in kitchen words."""
    by: int
    """How much: seconds for rules of time, slots, hands or portions for rules of room; at least 1."""
    excused: bool = False
    """What had started left no way round it."""

    def __str__(self) -> str:
        return f"rule {self.rule}, {self.where}: {self.what}{' (started food forces it)' if self.excused else ''}"


@dataclass(frozen=True)
class Cost:
    """What a plan costs, in plate-seconds."""

    lateness: float
    """For each course plates times seconds late, those beyond five minutes three times."""
    waiting: float
    """For each load ``portions * seconds it stands * 0.2 * min(1, 60 / keeps)``."""

    @property
    def total(self) -> float:
        """Lateness and waiting together."""
        return self.lateness + self.waiting
