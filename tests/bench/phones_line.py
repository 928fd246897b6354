"""Many devices in one thread: Socket.IO over websockets, as little of it as a measurement of hundreds needs.

Written against Engine.IO protocol 4 and Socket.IO protocol 5 (https://socket.io/docs/v4/engine-io-protocol/,
https://socket.io/docs/v4/socket-io-protocol/) and RFC 6455; a library client takes a few threads for each device.
"""

import asyncio
import base64
import json
import os
import struct
import time
from collections.abc import Callable
from typing import Any

Wire = dict[str, Any]

ANSWER_S = 20.0


def now_ms() -> float:
    """Of this machine's monotonic clock, which the server tells its real time by too."""
    return 1000 * time.monotonic()


class Lost(Exception):
    """The line is closed."""


class Line:
    """One websocket to the server with Socket.IO on it. ``heard(event, text, at_ms)``: what came unasked, unread."""

    def __init__(self, port: int, heard: Callable[[str, str, float], None] | None = None) -> None:
        self._port = port
        self._heard = heard
        self._asked = 0
        self._waiting: dict[int, asyncio.Future[tuple[str, float]]] = {}
        self._reading: asyncio.Task[None] | None = None
        self.closed = asyncio.Event()
        """Set once nothing more comes over this line."""
        self._reader: asyncio.StreamReader
        self._writer: asyncio.StreamWriter

    async def open(self) -> None:
        """Connect; returns when the server has greeted."""
        self._reader, self._writer = await asyncio.open_connection("127.0.0.1", self._port, limit=4 << 20)
        key = base64.b64encode(os.urandom(16)).decode()
        self._writer.write(
            f"GET /socket.io/?EIO=4&transport=websocket HTTP/1.1\r\nHost: 127.0.0.1:{self._port}\r\n"
            f"Connection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Version: 13\r\n"
            f"Sec-WebSocket-Key: {key}\r\n\r\n".encode()
        )
        head = await self._reader.readuntil(b"\r\n\r\n")
        if b" 101 " not in head.split(b"\r\n", 1)[0]:
            raise Lost(head.decode("ascii", "replace"))
        await self._frame()  # Engine.IO's opening
        self._send("40")
        await self._frame()  # Socket.IO's
        self._reading = asyncio.create_task(self._read())

    async def ask(self, event: str, message: object) -> tuple[Wire, float]:
        """The server's answer, and when it came (monotonic ms)."""
        text, at_ms = await self.ask_text(event, message)
        return json.loads(text), at_ms

    async def ask_text(self, event: str, message: object) -> tuple[str, float]:
        """As :meth:`ask`, the answer unread."""
        if self.closed.is_set():
            raise Lost("the line is closed")
        self._asked += 1
        answer: asyncio.Future[tuple[str, float]] = asyncio.get_running_loop().create_future()
        self._waiting[self._asked] = answer
        self._send(f"42{self._asked}{json.dumps([event, message])}")
        return await asyncio.wait_for(answer, ANSWER_S)

    def drop(self) -> None:
        """Gone without a word, as a phone that leaves the network."""
        if self._reading is not None:
            self._reading.cancel()
        self._writer.transport.abort()
        self._give_up("the line was dropped")

    async def _read(self) -> None:
        try:
            while True:
                packet = await self._frame()
                at_ms = now_ms()
                if packet == "2":
                    self._send("3")
                elif packet.startswith("43"):
                    number, _, rest = packet[2:].partition("[")
                    self._waiting.pop(int(number)).set_result((rest[:-1], at_ms))
                elif packet.startswith("42") and self._heard is not None:
                    event, _, rest = packet[3:].partition(",")
                    self._heard(event.strip('"'), rest[:-1], at_ms)
        except (asyncio.IncompleteReadError, OSError):
            self._give_up("the server closed the line")

    def _give_up(self, why: str) -> None:
        self.closed.set()
        waiting, self._waiting = self._waiting, {}
        for answer in waiting.values():
            if not answer.done():
                answer.set_exception(Lost(why))

    async def _frame(self) -> str:
        text = b""
        while True:
            first, second = await self._reader.readexactly(2)
            size = second & 0x7F
            if size == 126:
                (size,) = struct.unpack(">H", await self._reader.readexactly(2))
            elif size == 127:
                (size,) = struct.unpack(">Q", await self._reader.readexactly(8))
            body = await self._reader.readexactly(size)
            kind = first & 0x0F
            if kind == 8:
                raise asyncio.IncompleteReadError(body, None)
            if kind in (0, 1):
                text += body
                if first & 0x80:
                    return text.decode()

    def _send(self, text: str) -> None:
        body = text.encode()
        mask = os.urandom(4)
        size = len(body)
        head = bytes([0x81, 0x80 | size]) if size < 126 else b"\x81\xfe" + struct.pack(">H", size)
        masked = bytes(byte ^ mask[index % 4] for index, byte in enumerate(body))
        self._writer.write(head + mask + masked)


class KitchenTime:
    """The kitchen's clock as a device knows it, by the two-sided minima of its probes, at the speed of life."""

    def __init__(self) -> None:
        self._apart_ms = 0.0

    async def sync(self, line: Line, probes: int = 20) -> None:
        """Ask so many times."""
        there, back, kitchen = [], [], 0.0
        for _ in range(probes):
            t1 = now_ms()
            reply, t4 = await line.ask("clock", {"t1": t1})
            there.append(reply["t2"] - t1)
            back.append(reply["t3"] - t4)
            kitchen = reply["kitchen_at_t3"] - reply["t3"]
        self._apart_ms = (min(there) + max(back)) / 2 + kitchen

    def local_ms(self, kitchen_ms: float) -> float:
        """This machine's monotonic ms at which it is ``kitchen_ms`` by this device's clock."""
        return kitchen_ms - self._apart_ms
