"""How long a step may really take: its least, usual and most, and what is left of one that goes on.

Where the book gives a range, a length is drawn from the triangular distribution over least, usual and most: three
figures that a cook can give, as in the three-point estimates of PERT (D. G. Malcolm, J. H. Roseboom, C. E. Clark and
W. Fazar, "Application of a Technique for Research and Development Program Evaluation", Operations Research 7 (5), 1959,
646-669). Where it gives none, any length within 15 % of the usual is taken for as likely as any other (a judgement).
A rest, which needs no hands, is minded by the clock: it takes what is written.

All lengths are seconds.
"""

from dataclasses import dataclass
from functools import cached_property
from math import sqrt

from kitchen_timer.kitchen.dish import Component, Hands

WITHIN = 0.15
"""Of the usual length, where the book gives no range."""


@dataclass(frozen=True)
class Length:
    """The lengths that one step of one load may take."""

    least_s: float
    usual_s: float
    most_s: float
    flat: bool
    """Any of them as likely as any other; otherwise the usual is likeliest (triangular)."""

    @property
    def mean_s(self) -> float:
        """The mean: of a triangle ``(least + usual + most) / 3``."""
        return (self.least_s + self.most_s) / 2 if self.flat else (self.least_s + self.usual_s + self.most_s) / 3

    @property
    def slip_s(self) -> float:
        """How much longer than usual it may take."""
        return self.most_s - self.usual_s

    @property
    def early_s(self) -> float:
        """How much shorter than usual it may take."""
        return self.usual_s - self.least_s

    @cached_property
    def _turn(self) -> float:
        return (self.usual_s - self.least_s) / ((self.most_s - self.least_s) or 1.0)

    def at(self, share: float) -> float:
        """The length that a share (0 to 1) of all are no longer than: the inverse of the distribution function."""
        wide = self.most_s - self.least_s
        if self.flat:
            return self.least_s + share * wide
        if share < self._turn:
            return self.least_s + sqrt(share * wide * (self.usual_s - self.least_s))
        return self.most_s - sqrt((1 - share) * wide * (self.most_s - self.usual_s))

    def share_by(self, length_s: float) -> float:
        """The share of all that is no longer than a length: the distribution function."""
        if length_s <= self.least_s:
            return 0.0
        if length_s >= self.most_s:
            return 1.0
        wide = self.most_s - self.least_s
        if self.flat:
            return (length_s - self.least_s) / wide
        if length_s <= self.usual_s:
            return (length_s - self.least_s) ** 2 / (wide * (self.usual_s - self.least_s))
        return 1 - (self.most_s - length_s) ** 2 / (wide * (self.most_s - self.usual_s))

    def after(self, gone_s: float, share: float) -> float:
        """As :meth:`at`, of those that take longer than ``gone_s``: for a step that goes on."""
        if gone_s >= self.most_s:
            return gone_s
        gone = self.share_by(gone_s)
        return self.at(gone + share * (1 - gone))

    def expected_s(self, gone_s: float) -> float:
        """The whole length to reckon with when so much has gone: the usual until that has passed, then the mean of
        those that take longer (half way to the most where all are as likely, a third of the way down a triangle)."""
        if gone_s <= self.usual_s:
            return self.usual_s
        return gone_s + max(0.0, self.most_s - gone_s) / (2 if self.flat else 3)


def length_of(component: Component, index: int, portions: int) -> Length:
    """Of step ``index`` of a load of so many portions; ``each`` is added to all three."""
    step = component.steps[index]
    usual_s, takes = step.length_s(portions), step.takes
    if component.hands_of(index) is Hands.NONE:
        return Length(usual_s, usual_s, usual_s, flat=True)
    if takes.least_s == takes.most_s:
        return Length(usual_s * (1 - WITHIN), usual_s, usual_s * (1 + WITHIN), flat=True)
    more_s = usual_s - takes.usual_s
    return Length(takes.least_s + more_s, usual_s, takes.most_s + more_s, flat=False)
