"""Which stations' phones are in touch."""

import threading
from collections.abc import Callable
from dataclasses import dataclass

from kitchen_timer.service.views import StationInTouch


@dataclass(frozen=True)
class _Phone:
    client_id: str
    station: str


class InTouch:
    """Phones by their connection; a phone with two connections (an old one not yet noticed as lost) counts once."""

    def __init__(self, stations: dict[str, str], monotonic_s: Callable[[], float]) -> None:
        """``stations``: id to name. ``monotonic_s``: real seconds that never go back."""
        self._names = stations
        self._monotonic_s = monotonic_s
        self._lock = threading.Lock()
        self._phones: dict[str, _Phone] = {}
        self._lost_at: dict[str, float] = {}

    def joined(self, sid: str, station: str, client_id: str) -> None:
        """A phone joined a station."""
        with self._lock:
            self._forget(sid)
            self._phones[sid] = _Phone(client_id, station)
            self._lost_at.pop(station, None)

    def left(self, sid: str) -> str | None:
        """A connection ended or turned to another page: the station it was at, if it was at one."""
        with self._lock:
            return self._forget(sid)

    def has_phone(self, station: str) -> bool:
        """Whether a phone of this station is in touch."""
        with self._lock:
            return any(phone.station == station for phone in self._phones.values())

    def phones(self) -> int:
        """Phones in touch, over all stations."""
        with self._lock:
            return len(set(self._phones.values()))

    def stations(self) -> tuple[StationInTouch, ...]:
        """Every station, in the kitchen's order."""
        now_s = self._monotonic_s()
        with self._lock:
            devices: dict[str, set[str]] = {}
            for phone in self._phones.values():
                devices.setdefault(phone.station, set()).add(phone.client_id)
            return tuple(
                StationInTouch(
                    id=station,
                    name=name,
                    devices=len(devices.get(station, ())),
                    out_of_touch_s=int(now_s - self._lost_at[station]) if station in self._lost_at else None,
                )
                for station, name in self._names.items()
            )

    def _forget(self, sid: str) -> str | None:
        phone = self._phones.pop(sid, None)
        if phone is None:
            return None
        if not any(other.station == phone.station for other in self._phones.values()):
            self._lost_at[phone.station] = self._monotonic_s()
        return phone.station
