"""Why and what if over HTTP, worked out in a process of their own."""

import requests

from tests.server.served import Page, Served, until


def order_three(served: Served) -> list[str]:
    """Three tables whose soufflés need the same hands; their ids once they are planned."""
    page = Page(served.url, "order", client_id="whys")
    ids = [f"{table}/desserts" for table in ("71", "72", "73")]
    for course_id in ids:
        courses = [{"course": "desserts", "land": {"kind": "asap"}, "plates": [{"dish": "souffle", "qty": 2}]}]
        table = course_id.split("/")[0]
        page.command({"kind": "take_order", "table": table, "allergies_asked": True, "courses": courses})

    def planned() -> bool:
        board = requests.get(f"{served.url}/api/pass", timeout=10).json()
        return {c["id"] for c in board["courses"] if c["notes"]} >= set(ids)

    until(planned, "all three are planned")
    page.leave()
    return ids


def test_why_and_what_if_are_answered_and_refused_field_by_field(served: Served) -> None:
    ids = order_three(served)
    for course_id in ids:
        why = requests.get(f"{served.url}/api/why/{course_id}", timeout=30)
        assert why.status_code == 200
        assert why.json()["id"] == course_id
        assert bool(why.json()["chain"]) == (why.json()["late_s"] > 0)
        assert all(link["words"] for link in why.json()["chain"])
    asked = {"first": [ids[2]], "cooks": [{"station": "pastry", "by": 1}]}
    found = requests.post(f"{served.url}/api/what-if", json=asked, timeout=30)
    assert found.status_code == 200
    moved = {each["id"]: each for each in found.json()["courses"]}
    assert set(ids) <= set(moved)
    assert moved[ids[2]]["by_s"] <= 0
    assert found.json()["words"]
    refused = requests.post(
        f"{served.url}/api/what-if", json={"first": ["nobody"], "slots": [{"equipment": "moon", "by": 1}]}, timeout=10
    )
    assert refused.status_code == 400
    assert [fault["where"] for fault in refused.json()["faults"]] == ["first[0]", "slots[0].equipment"]
    assert all(fault["cure"] for fault in refused.json()["faults"])
    assert requests.get(f"{served.url}/api/why/99/nothing", timeout=10).status_code == 422


def test_a_dish_alone_is_drawn_and_refused_by_name(served: Served) -> None:
    alone = requests.get(f"{served.url}/api/book/souffle/alone?plates=2", timeout=30)
    assert alone.status_code == 200
    (course,) = alone.json()["courses"]
    assert course["plates"] == 2
    assert course["notes"]
    assert requests.get(f"{served.url}/api/book/unicorn/alone", timeout=10).status_code == 422
    refused = requests.get(f"{served.url}/api/book/souffle/alone?plates=none", timeout=10)
    assert refused.status_code == 400
    assert refused.json()["faults"][0]["where"] == "plates"
