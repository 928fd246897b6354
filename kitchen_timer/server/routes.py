"""REST: what the pages ask once, boards and commands for who has no socket, the QR codes, the state of health."""

import io
import json
from collections.abc import Callable
from typing import Any

import segno
from flask import Blueprint, Response, request

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.problems import BadMessage, Fault
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.live.clock import Clock
from kitchen_timer.live.engine import Engine
from kitchen_timer.server import messages
from kitchen_timer.server.metrics import CONTENT_TYPE
from kitchen_timer.server.openapi import openapi
from kitchen_timer.server.problem_reply import UnknownStation
from kitchen_timer.server.push import Pusher
from kitchen_timer.server.sockets import real_ms
from kitchen_timer.service.alone import MOST_PLATES


def rest(
    engine: Engine,
    kitchen: Kitchen,
    clock: Clock,
    info: Callable[[], messages.KitchenInfo],
    health: Callable[[], messages.Health],
    metrics: Callable[[], bytes],
    pusher: Pusher,
) -> Blueprint:
    """The routes under ``/api``, ``/health`` and ``/metrics``."""
    routes = Blueprint("rest", __name__)

    @routes.get("/api/kitchen")
    def _kitchen() -> Response:
        return _json(messages.write(info()))

    @routes.get("/api/book")
    def _book() -> Response:
        book = engine.book
        return _json([messages.write(dish_info(dish, book, engine.off(dish))) for dish in book])

    @routes.get("/api/book/<dish>/alone")
    def _alone(dish: str) -> Response:
        plates = request.args.get("plates", "1")
        if not (plates.isascii() and plates.isdigit() and 1 <= int(plates) <= MOST_PLATES):
            raise BadMessage(
                "The dish cannot be drawn.",
                [Fault("plates", f"{plates[:20]!r} is no count of plates", f"give 1 to {MOST_PLATES}")],
            )
        return _json(messages.write_in_zone(engine.aside.alone(dish, int(plates)), kitchen.zone))

    @routes.get("/api/pass")
    def _pass() -> Response:
        return _json(messages.write_in_zone(pusher.pass_board(), kitchen.zone))

    @routes.get("/api/station/<station>")
    def _station(station: str) -> Response:
        if station not in kitchen.stations:
            raise UnknownStation(
                f"There is no station {station!r} in this kitchen.",
                f"Ask for one of {', '.join(kitchen.stations)}.",
                where="station",
            )
        return _json(messages.write_in_zone(engine.station_board(station), kitchen.zone))

    @routes.post("/api/quote")
    def _quote() -> Response:
        asked = messages.read_quote(_body())
        return _json(messages.write_in_zone(engine.quote(asked.table, asked.courses), kitchen.zone))

    @routes.get("/api/why/<table>/<course>")
    def _why(table: str, course: str) -> Response:
        return _json(messages.write_in_zone(engine.aside.why(f"{table}/{course}"), kitchen.zone))

    @routes.post("/api/what-if")
    def _what_if() -> Response:
        return _json(messages.write_in_zone(engine.aside.what_if(messages.read_what_if(_body())), kitchen.zone))

    @routes.post("/api/command")
    def _command() -> Response:
        asked = messages.read_command(_body())
        ack = engine.do(asked.command, asked.client_id, asked.client_seq)
        return _json(messages.write(messages.Accepted(seq=ack.seq, repeated=ack.repeated)))

    @routes.get("/api/clock")
    def _clock() -> Response:
        t2 = real_ms()
        at_t3 = clock.now() * 1000.0
        reply = messages.ClockReply(t1=t2, t2=t2, t3=real_ms(), kitchen_at_t3=at_t3, speed=info().speed)
        return _json(messages.write(reply))

    @routes.get("/api/qr")
    def _qr() -> Response:
        path = request.args.get("path", "/")
        if not path.startswith("/") or path.startswith("//") or len(path) > 200:
            raise BadMessage(
                "The QR code cannot be drawn.",
                [Fault("path", f"{path[:60]!r} is no path on this server", "write it as /station/fry")],
            )
        drawn = io.BytesIO()
        segno.make(info().address + path, error="m", micro=False).save(
            drawn, kind="svg", scale=6, border=4, dark="#101216", light="#ffffff"
        )
        return Response(drawn.getvalue(), content_type="image/svg+xml", headers={"Cache-Control": "no-cache"})

    @routes.get("/api/openapi.json")
    def _openapi() -> Response:
        return _json(openapi())

    @routes.get("/metrics")
    def _metrics() -> Response:
        return Response(metrics(), content_type=CONTENT_TYPE, headers={"Cache-Control": "no-store"})

    @routes.get("/health")
    def _health() -> Response:
        found = health()
        return _json(messages.write(found), 200 if found.database and found.planner else 503)

    return routes


def dish_info(dish: str, book: Book, off: str = "") -> messages.DishInfo:
    """A dish as the order page offers it."""
    found = book[dish]
    return messages.DishInfo(
        dish=dish,
        name=found.name,
        course=found.course,
        allergens=found.all_allergens(),
        off=off,
        components=tuple(
            messages.ComponentInfo(name=part.name, station=part.station, allergens=part.allergens, keeps_s=part.keeps_s)
            for part in found.components.values()
        ),
    )


def _body() -> Any:
    # Never parsed under another content type: a foreign page may post plain text here without asking, but not JSON.
    try:
        return request.get_json()
    except RecursionError:
        raise BadMessage(
            "The message cannot be read.",
            [Fault("(the whole message)", "it is nested far too deep", "send it as /api/openapi.json says")],
        ) from None


def _json(value: Any, status: int = 200) -> Response:
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    return Response(text, status, content_type="application/json", headers={"Cache-Control": "no-store"})
