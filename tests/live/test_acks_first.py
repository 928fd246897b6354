"""A tap is answered when it is on the disk; what follows is done at once, on another thread, and all of it."""

import threading

from kitchen_timer.live.afterwards import Afterwards


def test_a_tap_does_not_wait_for_what_follows_and_what_comes_meanwhile_is_done_together():
    begun, goes_on, done = threading.Event(), threading.Event(), threading.Event()
    seen: list[frozenset[str]] = []

    def work(changed: frozenset[str]) -> None:
        seen.append(changed)
        begun.set()
        assert goes_on.wait(10)
        if len(seen) == 2:
            done.set()

    afterwards = Afterwards(work, own_thread=True)
    afterwards.add(frozenset({"pass"}))
    assert begun.wait(10)
    afterwards.add(frozenset({"station:fry"}))
    afterwards.add(frozenset({"station:fish"}))
    goes_on.set()
    assert done.wait(10)
    afterwards.close()
    assert seen == [frozenset({"pass"}), frozenset({"station:fry", "station:fish"})]


def test_a_failure_of_what_follows_ends_nothing():
    done = threading.Event()

    def work(changed: frozenset[str]) -> None:
        if changed == frozenset({"first"}):
            raise RuntimeError("the planner is gone")
        done.set()

    afterwards = Afterwards(work, own_thread=True)
    afterwards.add(frozenset({"first"}))
    while not done.wait(0.01):
        afterwards.add(frozenset({"second"}))
    afterwards.close()


def test_without_a_thread_of_its_own_it_is_done_before_the_tap_is_answered():
    seen: list[frozenset[str]] = []
    Afterwards(seen.append, own_thread=False).add(frozenset({"pass"}))
    assert seen == [frozenset({"pass"})]
