"""The instant to promise to the dining room: the sampled range of a landing, widened by how tonight's landings slipped.

A range sampled from one plan (landing.py) knows nothing of orders still to come and of plans made anew. How much that
matters is seen by what has landed: each course gives a score, how far it landed after its planned landing, counted in
the distance from there to the sampled 80 % point. The promise is so many of these distances after the planned landing
that 80 of 100 of the scores are no larger: split conformal prediction with normalised scores (V. Vovk, A. Gammerman and
G. Shafer, "Algorithmic Learning in a Random World", Springer 2005; J. Lei, M. G'Sell, A. Rinaldo, R. J. Tibshirani and
L. Wasserman, "Distribution-Free Predictive Inference for Regression", Journal of the American Statistical Association
113, 2018, 1094-1111; both from memory). It holds whatever the kitchen is like, as long as the evening goes on as it
went. Scores are counted from when a course was first planned, so an evening's log gives the same promises again.
"""

from collections.abc import Sequence

PROMISED = 80
"""Of 100 landings are to be no later than promised."""
LEAST_S = 10
"""A range counts as no narrower than this: a course may land by the clock alone."""
KEPT = 40
"""So many of the latest scores count: what a kitchen is like changes through an evening."""
PRIOR = (0.3, 0.5, 0.7, 1.0, 1.1, 1.3, 1.6, 2.1, 3.5)
"""Scores that stand in for those an evening has not shown yet: tenths of those of simulated evenings in four kitchens
(tests.bench.noisy)."""
FADED = 20
"""With so many scores of its own an evening needs the others no more; before that they count less and less."""


def score_of(planned_at: int, eighty_at: int, landed_at: int) -> float:
    """How far after its planned landing a course landed, in distances from there to its sampled 80 % point."""
    return (landed_at - planned_at) / max(LEAST_S, eighty_at - planned_at)


def promised_at(planned_at: int, eighty_at: int, scores: Sequence[float]) -> int:
    """The instant by which 80 of 100 such courses land; ``scores`` of tonight, oldest first. Not before the plan's."""
    latest = scores[-KEPT:]
    fades = max(0.0, 1 - len(latest) / FADED)
    known = sorted([*((score, fades) for score in PRIOR), *((score, 1.0) for score in latest)])
    # The rank of split conformal prediction: out of one more than there are scores, for the one to come.
    wanted = PROMISED / 100 * (fades * len(PRIOR) + len(latest) + 1)
    reached, far = 0.0, known[-1][0]
    for score, counts in known:
        reached += counts
        if reached >= wanted - 1e-9:
            far = score
            break
    return planned_at + max(0, round(far * max(LEAST_S, eighty_at - planned_at)))
