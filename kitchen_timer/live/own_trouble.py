"""What the pass is told when the tool itself is in trouble: each matter once, in plain words with what to do."""

SILENT_S = 15
"""Kitchen seconds without a first plan after which the pass is told."""

BROKEN = "The newest plan broke the kitchen's limits and was not taken: cook by the last one, and call what it lacks."
SILENT = "There is no new plan yet: cook by the one that stands, and call by voice what it lacks."
CRASHED = "The planner failed: cook by the last plan, call by voice what it lacks, and have the server looked at."
UNWRITTEN = "Nothing can be written down: see that the disk has room. Until then taps do not count."


class OwnTrouble:
    """The words that stand, by the matter that they are about. Replaced whole, so any thread may read them."""

    def __init__(self) -> None:
        self._words: dict[str, str] = {}

    def note(self, about: str, words: str) -> bool:
        """These words stand about a matter from now on; empty: all is well. Whether that is news."""
        if self.about(about) == words:
            return False
        self._words = {key: text for key, text in {**self._words, about: words}.items() if text}
        return True

    def about(self, about: str) -> str:
        """What stands about a matter; empty when nothing does."""
        return self._words.get(about, "")

    def words(self) -> tuple[str, ...]:
        """All that stands."""
        return tuple(self._words.values())
