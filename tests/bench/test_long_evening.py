"""What a long evening is held to is seen when it happens: a component that is missing, and growth."""

import asyncio
import time
from typing import Any

import pytest

from kitchen_timer.kitchen.seconds import write_instant
from tests.bench.long_evening import missing_for_long, slope
from tests.bench.long_evening_people import orders_of
from tests.bench.phones_proxy import BadNetwork

BOOK: dict[str, tuple[str, ...]] = {"hake": ("fish", "leaves")}
BEGINS = 1_795_806_000


def board(second: int, *parts: tuple[str, int, int]) -> dict[str, Any]:
    """The pass ``second`` s after the start, two hake ordered; of each part its portions, and how many are spare."""
    notes = [
        {"last": True, "dish": "hake", "component": part, "portions": portions, "spare": spare}
        for part, portions, spare in parts
    ]
    course = {"id": "6/mains", "dishes": [{"dish": "hake", "qty": 2}], "notes": notes}
    return {"now": write_instant(BEGINS + second), "courses": [course]}


def test_a_component_that_is_missing_for_longer_than_a_minute_is_a_fault() -> None:
    whole, without = (("fish", 2, 0), ("leaves", 3, 1)), (("fish", 2, 0),)
    assert missing_for_long([board(0, *whole), board(30, *without), board(90, *without)], BOOK, 60) == []
    assert missing_for_long([board(0, *without), board(50, *whole), board(100, *without)], BOOK, 60) == []
    (fault,) = missing_for_long([board(0, *without), board(61, *without)], BOOK, 60)
    assert fault == "6/mains/hake/leaves was not as ordered for 61 s"
    assert len(missing_for_long([board(0, ("fish", 3, 0), whole[1]), board(61, ("fish", 3, 0))], BOOK, 60)) == 1


def test_growth_is_what_a_line_through_the_services_rises_by() -> None:
    assert slope([100.0, 103.0, 106.0, 109.0]) == pytest.approx(3.0)
    assert slope([100.0, 101.0, 99.0, 100.0]) == pytest.approx(-0.2)  # by hand: (-1.5*0 - 0.5*1 + 0.5*-1 + 1.5*0) / 5
    assert slope([100.0]) == 0.0


def test_every_guest_orders_a_main_course() -> None:
    orders = orders_of(BEGINS, 120, 3600, seed=1)
    mains = [c for _, order in orders for c in order["courses"] if c["course"] == "mains"]
    assert sum(plate["qty"] for course in mains for plate in course["plates"]) == 120
    assert [at for at, _ in orders] == sorted(at for at, _ in orders)


def test_a_bad_network_delays_every_piece_and_keeps_their_order() -> None:
    async def played() -> tuple[list[bytes], float]:
        async def echo(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
            while piece := await reader.read(100):
                writer.write(piece)
            writer.close()

        server = await asyncio.start_server(echo, "127.0.0.1", 0)
        network = BadNetwork(server.sockets[0].getsockname()[1], least_ms=20, jitter_ms=30)
        reader, writer = await asyncio.open_connection("127.0.0.1", network.port)
        began, came = time.monotonic(), []
        for number in range(5):
            writer.write(b"%d" % number)
            came.append(await reader.readexactly(1))
        took = time.monotonic() - began
        network.cut()
        writer.write(b"x")
        with pytest.raises(TimeoutError):
            await asyncio.wait_for(reader.readexactly(1), 0.2)
        writer.close()
        network.close()
        server.close()
        return came, took

    came, took_s = asyncio.run(played())
    assert came == [b"0", b"1", b"2", b"3", b"4"]
    assert took_s >= 5 * 2 * 0.020
