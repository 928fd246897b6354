"""Every command there is, on the wire: read as it was written, taken or refused in words, never a fault of ours."""

import json
import random
from typing import Any, get_args

import pytest
from pydantic import TypeAdapter

from kitchen_timer.kitchen.problems import KitchenProblem
from kitchen_timer.kitchen.table import AtTime
from kitchen_timer.server.messages import read_command
from kitchen_timer.server.openapi import openapi
from kitchen_timer.server.problem_reply import problem_of
from kitchen_timer.service.commands import Command, LandCourse, MoveCourse, ReadCoreTemp, SetCue
from tests.live.luck import KINDS, MAKERS, Luck
from tests.live.tonight import START, Tonight

WRITE: TypeAdapter[Command] = TypeAdapter(Command)


def on_the_wire(command: Command) -> dict[str, Any]:
    body: dict[str, Any] = json.loads(WRITE.dump_json(command, by_alias=True))
    return body


@pytest.mark.parametrize("kind", KINDS)
def test_a_command_is_read_as_it_was_written_and_never_breaks_the_engine(kind: str) -> None:
    tonight = Tonight()
    luck = Luck(tonight, len(kind))
    for _ in range(3):
        luck.go_on("take_order")
    tonight.cook_until(60)
    for seed in range(6):
        luck.dice = random.Random(seed)
        command = luck.command(kind)
        sent = {"client_id": "phone", "client_seq": seed, "command": on_the_wire(command)}
        assert read_command(json.loads(json.dumps(sent))).command == command
        try:
            tonight.do(command)
        except KitchenProblem as refusal:
            problem = problem_of(refusal)
            assert problem.status in (400, 409, 422)
            assert problem.detail.rstrip().endswith(".")
            assert all(fault.cure for fault in problem.faults)
            assert problem.faults, "a refusal says what to do"


def test_the_document_names_every_command() -> None:
    schemas = openapi()["components"]["schemas"]
    kinds = {schema["properties"]["kind"]["const"] for schema in schemas.values() if "kind" in _properties(schema)}
    assert {shape.kind for shape in get_args(Command)} <= kinds
    assert set(MAKERS) >= set(KINDS)


def _properties(schema: dict[str, Any]) -> dict[str, Any]:
    found = schema.get("properties", {})
    return {key: value for key, value in found.items() if "const" in value}


@pytest.mark.parametrize("at", [10**18, -(10**18), START + 12 * 3600 + 1, START - 12 * 3600 - 1])
def test_no_time_is_too_far_to_be_refused_in_words(at: int) -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    for command in (
        LandCourse("6/mains", AtTime(at=at)),
        SetCue("6/mains/hake/fish/1/0", at),
        MoveCourse("6/mains", abs(at)),
        ReadCoreTemp("6/mains/hake/fish/1/1", float("nan")),
        ReadCoreTemp("6/mains/hake/fish/1/1", float("inf")),
    ):
        with pytest.raises(KitchenProblem):
            tonight.do(command)
    with pytest.raises(KitchenProblem, match="more than twelve hours away"):
        tonight.order("7", "mains", AtTime(at=at), hake=1)
