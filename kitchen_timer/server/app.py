"""One Flask application over one engine."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from time import monotonic

from flask import Flask, Response
from flask_socketio import SocketIO

from kitchen_timer.kitchen.dish import Book
from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.live.clock import Clock
from kitchen_timer.live.engine import Engine
from kitchen_timer.server import messages
from kitchen_timer.server.cautions import CAUTIONS
from kitchen_timer.server.in_touch import InTouch
from kitchen_timer.server.problem_reply import answer_refusals
from kitchen_timer.server.push import Pusher
from kitchen_timer.server.routes import rest
from kitchen_timer.server.screens import serve_screens
from kitchen_timer.server.sockets import answer_sockets

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


def _yes() -> bool:
    return True


@dataclass(frozen=True)
class Server:
    """The application, its sockets, and what must be started and closed with it."""

    app: Flask
    socketio: SocketIO
    in_touch: InTouch
    pusher: Pusher


def create_app(
    engine: Engine,
    *,
    kitchen: Kitchen,
    clock: Clock,
    service: Callable[[], date],
    heads_up_s: int,
    about: About | None = None,
    trouble: Callable[[], tuple[str, ...]] = _nothing,
    database_answers: Callable[[], bool] = _yes,
    planner_answers: Callable[[], bool] = _yes,
    screens: Path | None = None,
) -> Server:
    """The application over ``engine``. Call ``server.pusher.start()`` in the process that serves, after any fork."""
    about = about or About()
    app = Flask(__name__, static_folder=None)
    app.config["MAX_CONTENT_LENGTH"] = MAX_BODY
    # Named, because autodetection prefers whatever green threads happen to be installed. Handlers run in order on the
    # client's own thread: a thread for each event made bursts ten times slower.
    socketio = SocketIO(
        app,
        async_mode="threading",
        async_handlers=False,
        ping_interval=5,
        ping_timeout=10,
        max_http_buffer_size=MAX_BODY,
    )
    in_touch = InTouch({key: station.name for key, station in kitchen.stations.items()}, monotonic)
    pusher = Pusher(socketio, engine, clock, in_touch, trouble)

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
        return messages.Health(
            database=database_answers(), planner=planner_answers(), phones=in_touch.phones(), trouble=trouble()
        )

    answer_refusals(app)
    app.register_blueprint(rest(engine, kitchen, clock, info, health, pusher))
    serve_screens(app, screens)
    answer_sockets(socketio, engine, clock, about.speed, in_touch, pusher)

    @app.after_request
    def _secure(response: Response) -> Response:
        for header, value in _SECURITY.items():
            response.headers.setdefault(header, value)
        return response

    return Server(app, socketio, in_touch, pusher)
