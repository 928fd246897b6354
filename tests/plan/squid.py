"""Tables of one dish, fried in one basket that then needs half a minute: what one table has, the next waits for."""

from kitchen_timer.plan.question import Question, Wanted
from tests.builders import after, at, component, course, dish, kitchen, question, slots, step

SQUID = dish("squid", rings=component("fry", step(90, on="fryer"), keeps=60))
KITCHEN = kitchen(fry=2, fryer=slots(1, recovery=30), pass_hands=2)

TWO_TABLES = (course("1", squid=1, land=at(300)), course("2", squid=1, land=at(310)))
"""Table 1 fried 210 to 300: table 2, wanted at 310, lands at 420 and is 110 s late. Table 2 first: table 1 is 130 s
late. Between: table 1's stands its 60 s, fried 150 to 240 (60 * 0.2 = 12), the oil is back at 270 and table 2 lands at
360, 50 s late."""
THREE_TABLES = tuple(course(str(n), squid=1, land=at(300 + 60 * n)) for n in range(3))
"""The first makes way for the second, and both for the third. By turns they would be on time, 120 s and 240 s late,
together 360 less what the targets lie apart."""
MAINS_BETWEEN = (
    course("2", squid=1, land=at(300)),
    course("1", "starters", squid=1, land=at(310)),
    course("1", "mains", squid=1, land=after("starters", gap=200)),
    course("3", squid=1, land=at(560)),
)
"""What follows a course lands sooner with it."""


def squid_for(*courses: Wanted) -> Question:
    """A question of these courses."""
    return question(KITCHEN, [SQUID], *courses)


def announced(told: int = 210) -> Question:
    """Two tables, of which the first's fry station was told when to begin."""
    return question(KITCHEN, [SQUID], *TWO_TABLES, announced={"1/mains/squid/rings/1/0": told})
