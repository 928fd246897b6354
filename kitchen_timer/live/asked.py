"""What the engine remembers of the newest question that it put to the planner."""

from dataclasses import dataclass


@dataclass
class Asked:
    """The newest question to the planner."""

    token: int
    now: int
    answered: bool = False
    refused: int = 0
    """First plans for it that could not be taken."""
