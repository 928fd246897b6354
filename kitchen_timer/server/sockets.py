"""Socket.IO: pages join for their board, hand in taps, and ask what time it is."""

import time
from typing import Any

from flask import request
from flask_socketio import SocketIO, join_room, leave_room

from kitchen_timer.live.clock import Clock
from kitchen_timer.live.engine import Engine
from kitchen_timer.server import messages
from kitchen_timer.server.in_touch import InTouch
from kitchen_timer.server.problem_reply import UnknownStation, refused
from kitchen_timer.server.push import PASS, Pusher, station_room


def real_ms() -> float:
    """Real milliseconds that never go back; their zero means nothing."""
    return time.monotonic() * 1000.0


def answer_sockets(
    socketio: SocketIO, engine: Engine, clock: Clock, speed: float, in_touch: InTouch, pusher: Pusher
) -> None:
    """Answer ``join``, ``command`` and ``clock`` of every page."""
    rooms: dict[str, str] = {}

    def leave(sid: str) -> None:
        room = rooms.pop(sid, None)
        if room is not None:
            leave_room(room, sid=sid, namespace="/")
        if in_touch.left(sid) is not None:
            pusher.phones_changed()

    def join(raw: Any = None, *_more: Any) -> Any:
        try:
            asked = messages.read_join(raw)
            sid = _sid()
            if asked.page == "station":
                known = {station.id for station in in_touch.stations()}
                if asked.station not in known:
                    raise UnknownStation(
                        f"There is no station {asked.station or '(none named)'!r} in this kitchen.",
                        f"Join one of {', '.join(sorted(known))}.",
                        where="station",
                    )
            leave(sid)
            # Into the room first: a change between the two is then pushed as well, and never missed.
            if asked.page != "station" or asked.station is None:
                rooms[sid] = PASS
                join_room(PASS)
                return messages.write(messages.PassJoined(board=pusher.pass_board()))
            rooms[sid] = station_room(asked.station)
            join_room(rooms[sid])
            in_touch.joined(sid, asked.station, asked.client_id)
            pusher.phones_changed()
            _, board = pusher.drawn.station(asked.station)
            return {"ok": True, "board": board}  # a StationJoined, its board written already
        except Exception as raised:
            return messages.write(refused(raised))

    def command(raw: Any = None, *_more: Any) -> Any:
        try:
            asked = messages.read_command(raw)
            ack = engine.do(asked.command, asked.client_id, asked.client_seq)
            return messages.write(messages.Accepted(seq=ack.seq, repeated=ack.repeated))
        except Exception as raised:
            return messages.write(refused(raised))

    def tell_time(raw: Any = None, *_more: Any) -> Any:
        t2 = real_ms()
        try:
            asked = messages.read_clock(raw)
            kitchen_ms = clock.now() * 1000.0
            reply = messages.ClockReply(t1=asked.t1, t2=t2, t3=real_ms(), kitchen_at_t3=kitchen_ms, speed=speed)
            return messages.write(reply)
        except Exception as raised:
            return messages.write(refused(raised))

    def gone(*_: Any) -> None:
        leave(_sid())

    socketio.on_event("join", join)
    socketio.on_event("command", command)
    socketio.on_event("clock", tell_time)
    socketio.on_event("disconnect", gone)


def _sid() -> str:
    sid: str = request.sid  # type: ignore[attr-defined]  # Flask-SocketIO adds it
    return sid
