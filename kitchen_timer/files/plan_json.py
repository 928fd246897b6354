"""Writes a plan as plan.json: instants with the kitchen's own offset, courses and steps named as in the files."""

from typing import Any

from kitchen_timer.kitchen.seconds import write_instant
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.plan.answer import Answer


def plan_json(answer: Answer, kitchen: Kitchen) -> dict[str, Any]:
    """The plan as plain values for ``json.dumps``; ``cost`` and ``bound`` in plate-seconds, ``late_s`` in seconds."""
    zone = kitchen.zone

    def at(instant: int) -> str:
        return write_instant(instant, zone)

    return {
        "kitchen": kitchen.name,
        "now": at(answer.now),
        "cost": answer.cost,
        "bound": answer.bound,
        "courses": [
            {
                "table": course.table,
                "course": course.course,
                "plates": course.plates,
                "target_at": at(course.target_at),
                "landing_at": at(course.landing_at),
                "up_at": at(course.up_at),
                "late_s": course.late_s,
            }
            for course in answer.courses
        ],
        "steps": [
            {
                "table": step.key.table,
                "course": step.key.course,
                "dish": step.key.dish,
                "component": step.key.component,
                "load": step.key.load,
                "step": step.key.step,
                "do": step.do,
                "station": step.station,
                "on": step.on,
                "portions": step.portions,
                "start_at": at(step.start_at),
                "end_at": at(step.end_at),
            }
            for step in answer.steps
        ],
        "impossible": [
            {
                "table": none.table,
                "course": none.course,
                "why": none.why,
                "would_help": none.would_help,
                "rule": none.rule,
                "remedies": [
                    {
                        "words": remedy.words,
                        "changes": [{"kind": c.kind, "what": c.what, "by": c.by} for c in remedy.changes],
                    }
                    for remedy in none.remedies
                ],
            }
            for none in answer.impossible
        ],
    }
