"""Whatever the kitchen: without what is named the course does land sooner, and the named is what was in the way."""

from collections import Counter
from dataclasses import replace

from hypothesis import event, given, settings
from hypothesis import strategies as st

from kitchen_timer.plan.answer import Answer, PlannedStep
from kitchen_timer.plan.check import Break, breaks
from kitchen_timer.plan.choose import plan_quickly
from kitchen_timer.plan.line import PlacedCourse
from kitchen_timer.plan.question import BegunLoad, BegunStep, CourseKey, LoadKey, Question, StepKey
from kitchen_timer.plan.why import LONGEST_CHAIN, WhyLate, why_behind, why_chains
from kitchen_timer.plan.why_link import Link
from tests.bench.evenings import events
from tests.properties.evening import advance
from tests.properties.strategies import questions

ROOM = (5, 6, 7)
IN_THE_WAY = ("slots", "hands", "plating", "several")


def room_breaks(question: Question, answer: Answer) -> Counter[tuple[int, str]]:
    """Seconds and pieces by which slots, hands and the pass are asked too much of."""
    found: Counter[tuple[int, str]] = Counter()
    for each in breaks(question, answer):
        if each.rule in ROOM and "after landing" not in each.what:
            found[each.rule, each.where] += each.by
    return found


def with_course(question: Question, answer: Answer, found: PlacedCourse) -> Answer:
    """An answer with one course where it was found."""
    now, key = question.now, found.job.key
    steps: list[PlannedStep] = [s for s in answer.steps if s.key.of_course != key]
    for placed in found.loads:
        part = question.book[placed.job.key.dish].components[placed.job.key.component]
        begun = placed.job.begun.steps if placed.job.begun else ()
        times = [(step.start_at, step.end_at) for step in begun]
        if placed.job.pattern is not None:
            for piece, start in zip(placed.job.pattern.pieces, placed.starts, strict=True):
                for offset, length in zip(piece.offsets_s, piece.lengths_s, strict=True):
                    times.append((now + start + offset, now + start + offset + length))
        portions = placed.job.begun.portions if placed.job.begun else placed.job.pattern.portions  # type: ignore[union-attr]
        steps += [
            PlannedStep(
                StepKey(*placed.job.key, index),
                part.steps[index].do,
                part.station,
                part.steps[index].on,
                portions,
                start_at,
                end_at,
            )
            for index, (start_at, end_at) in enumerate(times)
        ]
    courses = [
        replace(c, landing_at=now + found.landing, up_at=now + found.up) if c.key == key else c for c in answer.courses
    ]
    return replace(answer, courses=tuple(courses), steps=tuple(steps))


def without(answer: Answer, link: Link) -> Answer:
    """An answer without what a link names."""
    return replace(
        answer,
        courses=tuple(c for c in answer.courses if c.key not in link.by_courses),
        steps=tuple(s for s in answer.steps if s.key.of_load not in link.by),
    )


def the_course_broken(question: Question, answer: Answer, key: CourseKey) -> list[Break]:
    """What is wrong with one course itself; its lateness is another one now."""
    return [b for b in breaks(question, answer) if b.where.startswith(f"{key}") and b.rule != 0 and not b.excused]


def check_link(question: Question, answer: Answer, why: WhyLate, link: Link) -> None:
    assert link.words
    if link.kind not in IN_THE_WAY:
        return
    moved = with_course(question, answer, why.without_it[link.course])
    gained_s = answer.by_course[link.course].landing_at - moved.by_course[link.course].landing_at
    assert gained_s == link.sooner_s > 0, link
    # The checker has another reading of the rules: with what is named still there, there is no room; without it, there
    # is. (An ``after`` course of the same table may come too soon for this one now: that is another course's break.)
    had = room_breaks(question, answer)
    has = room_breaks(question, without(moved, link))
    assert all(by <= had[where] for where, by in has.items()), (link, has - had)
    clashes = room_breaks(question, moved) - room_breaks(question, answer)
    assert clashes, link
    assert the_course_broken(question, without(moved, link), link.course) == []


@given(questions(), st.integers(0, 900))
@settings(max_examples=18)
def test_without_what_is_named_a_course_lands_sooner(question: Question, later: int) -> None:
    answer = plan_quickly(question)
    if later > 600:
        question = advance(question, answer, question.now + later - 600)
        answer = plan_quickly(question)
    why = WhyLate(question, answer)
    chains = why_chains(question, answer)
    assert set(chains) == {course.key for course in answer.courses if course.late_s > 0}
    for key, chain in chains.items():
        event(chain[0].kind)
        assert chain[0].course == key
        assert why.chain(key, LONGEST_CHAIN) == chain
        for link in chain:
            check_link(question, answer, why, link)
    first = {key: chain[0].words for key, chain in chains.items() if chain[0].kind != "landed"}
    assert why_behind(question, answer) == first


# -- the same of evenings, asked of the planner itself


def others_fixed(question: Question, answer: Answer, link: Link | None, key: CourseKey) -> Question:
    """Only one course is left to plan: of all others everything stands where the plan has it, as if it had begun.

    ``link``: without what it names.
    """
    gone, unplated = (set(link.by), set(link.by_courses)) if link else (set(), set())
    courses = []
    for wanted in question.courses:
        planned = answer.by_course.get(wanted.key)
        if wanted.key == key:
            courses.append(wanted)
        elif planned is not None:
            loads = {k: s for k, s in answer.by_load.items() if k.of_course == wanted.key and k not in gone}
            begun = tuple(_begun(load, steps) for load, steps in loads.items())
            landed_at = question.now - 7200 if wanted.key in unplated else planned.landing_at
            courses.append(replace(wanted, landed_at=landed_at, begun=begun, spent={}))
    told = {step: due for step, due in question.announced.items() if step.of_course == key}
    return replace(question, courses=tuple(courses), announced=told)


def _begun(load: LoadKey, steps: tuple[PlannedStep, ...]) -> BegunLoad:
    spans = tuple(BegunStep(step.start_at, step.end_at) for step in steps)
    return BegunLoad(load.dish, load.component, load.load, steps[0].portions, spans)


def test_the_planner_itself_lands_a_course_sooner_without_what_is_named() -> None:
    """Asked of ``plan_quickly`` with all else fixed: as late with it, sooner without it."""
    asked = sooner_without = 0
    for kitchen_seed in (0, 2):
        for happened in events(kitchen_seed, 8, 3, plan_quickly, 3):
            question = happened.question
            answer = plan_quickly(question, happened.previous)
            for key, chain in why_chains(question, answer, links=1).items():
                if chain[0].kind not in IN_THE_WAY:
                    continue
                landing_at = answer.by_course[key].landing_at
                with_it = plan_quickly(others_fixed(question, answer, None, key)).by_course[key].landing_at
                if with_it != landing_at:
                    continue  # it shares slots with what counts as begun here, and begun food is shared no more
                asked += 1
                without_it = plan_quickly(others_fixed(question, answer, chain[0], key)).by_course[key].landing_at
                sooner_without += without_it < landing_at
    assert asked >= 8, asked
    assert sooner_without >= 0.95 * asked
