"""One Flask application over one engine."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from time import monotonic
from typing import Any

from flask import Flask, Response
from flask_socketio import SocketIO

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.live.clock import Clock
from kitchen_timer.live.engine import Engine
from kitchen_timer.server import messages
from kitchen_timer.server.cautions import CAUTIONS
from kitchen_timer.server.in_touch import InTouch
from kitchen_timer.server.packets import TextPacket
from kitchen_timer.server.problem_reply import answer_refusals
from kitchen_timer.server.push import PASS, Pusher
from kitchen_timer.server.routes import rest
from kitchen_timer.server.screens import serve_screens
from kitchen_timer.server.seen import Seen, SeenInTouch
from kitchen_timer.server.sockets import answer_sockets
from kitchen_timer.server.vitals import Asks, Vitals

MAX_BODY = 256 * 1024

_SECURITY = {
    "Content-Security-Policy": "default-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; "
    "font-src 'self' data:; connect-src 'self' ws: wss:; frame-ancestors 'none'; base-uri 'none'; form-action 'self'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
}


@dataclass(frozen=True)
class About:
    """What is true of this run and does not change."""

    address: str = "http://127.0.0.1"
    """Where phones find it."""
    demo: bool = False
    lan: bool = False
    speed: float = 1.0
    """Kitchen seconds per real second."""


def stations_with(equipment: str, book: Book) -> tuple[str, ...]:
    """Stations whose steps use this equipment, in the order of the book."""
    parts = (part for dish in book.values() for part in dish.components.values())
    return tuple(dict.fromkeys(part.station for part in parts if any(step.on == equipment for step in part.steps)))


def _nothing() -> tuple[str, ...]:
    return ()


class _CuesSeen(SocketIO):  # type: ignore[misc]  # Flask-SocketIO has no types
    """Tells when a cue goes out."""

    seen: Seen

    def emit(self, event: str, *args: Any, **kwargs: Any) -> None:
        """As Flask-SocketIO does."""
        super().emit(event, *args, **kwargs)
        if event == "cue":
            self.seen.cue_sent(args[0], str(kwargs.get("to", "")).removeprefix("station:"))


@dataclass(frozen=True)
class Server:
    """The application, its sockets, and what must be started and closed with it."""

    app: Flask
    socketio: SocketIO
    in_touch: InTouch
    pusher: Pusher
    seen: Seen
    vitals: Vitals

    def start(self) -> None:
        """Begin to push and to look at itself, in the process that serves, after any fork."""
        self.seen.start()
        self.pusher.start()
        self.vitals.start()

    def close(self) -> None:
        """End what was started."""
        self.vitals.close()
        self.pusher.close()
        self.seen.close()


def create_app(
    engine: Engine,
    *,
    kitchen: Kitchen,
    clock: Clock,
    service: Callable[[], date],
    heads_up_s: int,
    about: About | None = None,
    trouble: Callable[[], tuple[str, ...]] = _nothing,
    seen: Seen | None = None,
    asks: Asks | None = None,
    screens: Path | None = None,
) -> Server:
    """The application over ``engine``. Call ``server.start()`` in the process that serves, after any fork."""
    about = about or About()
    seen = seen or Seen(clock.now, about.speed)
    app = Flask(__name__, static_folder=None)
    app.config["MAX_CONTENT_LENGTH"] = MAX_BODY
    # Named, because autodetection prefers whatever green threads happen to be installed. Handlers run in order on the
    # client's own thread: a thread for each event made bursts ten times slower.
    socketio = _CuesSeen(
        app,
        async_mode="threading",
        async_handlers=False,
        serializer=TextPacket,
        ping_interval=5,
        ping_timeout=10,
        max_http_buffer_size=MAX_BODY,
    )
    socketio.seen = seen
    in_touch = SeenInTouch({key: station.name for key, station in kitchen.stations.items()}, monotonic, seen)

    def wanted() -> frozenset[str]:
        if about.demo:
            return frozenset()  # invented cooks tap where nobody has joined
        # Only stations that nobody has joined are asked about: their boards are drawn for nothing else.
        empty = [each.id for each in in_touch.stations() if not each.devices and each.out_of_touch_s is None]
        boards = (engine.station_board(key) for key in empty)
        return frozenset(board.station for board in boards if board.actions and board.taps != "clock")

    def all_trouble() -> tuple[str, ...]:
        return tuple(dict.fromkeys((*vitals.troubles(), *trouble())))

    pusher = Pusher(socketio, engine, clock, in_touch, all_trouble)
    vitals = Vitals(asks or Asks(), seen, in_touch.stations, wanted, trouble, lambda: pusher.changed(frozenset({PASS})))

    def info() -> messages.KitchenInfo:
        return messages.KitchenInfo(
            name=kitchen.name,
            timezone=kitchen.timezone,
            service=service().isoformat(),
            stations=tuple(
                messages.StationInfo(id=key, name=s.name, cooks=s.cooks) for key, s in kitchen.stations.items()
            ),
            equipment=tuple(
                messages.EquipmentInfo(
                    id=key, name=kitchen.equipment_name(key), slots=has.slots, stations=stations_with(key, engine.book)
                )
                for key, has in kitchen.equipment.items()
            ),
            demo=about.demo,
            speed=about.speed,
            lan=about.lan,
            address=about.address,
            cautions=CAUTIONS,
            heads_up_s=heads_up_s,
        )

    def health() -> messages.Health:
        database, planner = vitals.database(), vitals.planner()
        return messages.Health(
            database=database,
            planner=planner,
            planner_answered_s=round(vitals.planner_age_s(), 3),
            phones=in_touch.phones(),
            stations=in_touch.stations(),
            kitchen_at=int(clock.now()),
            clock_set_s=round(vitals.clock_set_s(), 3) + 0.0,
            disk_left_mb=vitals.disk_left_mb(),
            events=engine.seq,
            trouble=all_trouble(),
        )

    app.extensions["seen"] = seen
    seen.book = lambda: engine.book
    answer_refusals(app)
    app.register_blueprint(rest(engine, kitchen, clock, info, health, seen.text, pusher))
    serve_screens(app, screens)
    answer_sockets(socketio, engine, clock, about.speed, in_touch, pusher)

    @app.after_request
    def _secure(response: Response) -> Response:
        for header, value in _SECURITY.items():
            response.headers.setdefault(header, value)
        return response

    return Server(app, socketio, in_touch, pusher, seen, vitals)
