"""A bad network between a phone and the server: a TCP proxy that delays every piece, or lets nothing through."""

import asyncio
import random
import socket
import threading


class BadNetwork:
    """Listens on a port of its own on this machine, in a thread of its own, until it is closed."""

    def __init__(self, to: int, least_ms: float = 2.0, jitter_ms: float = 0.0, seed: int = 1) -> None:
        """Each piece waits ``least_ms`` and anything up to ``jitter_ms`` more; their order is kept, as in TCP."""
        self._to, self._least_s, self._jitter_s = to, least_ms / 1000, jitter_ms / 1000
        self._dice = random.Random(seed)
        self._silent = False
        self._loop = asyncio.new_event_loop()
        self._listening = socket.create_server(("127.0.0.1", 0), backlog=128)
        self.port: int = self._listening.getsockname()[1]
        self._thread = threading.Thread(target=self._run, name="bad-network", daemon=True)
        self._thread.start()

    def cut(self) -> None:
        """Nothing gets through any more; what is open stays open and is silent, as when a phone leaves the Wi-Fi."""
        self._silent = True

    def mend(self) -> None:
        """All gets through again; what was under way is lost with its connection."""
        self._silent = False

    def close(self) -> None:
        """End it."""
        self._loop.call_soon_threadsafe(self._end)
        self._thread.join(timeout=2)

    def _end(self) -> None:
        for task in asyncio.all_tasks(self._loop):
            task.cancel()
        self._loop.call_later(0.1, self._loop.stop)

    def _run(self) -> None:
        asyncio.set_event_loop(self._loop)
        self._loop.run_until_complete(asyncio.start_server(self._taken, sock=self._listening))
        self._loop.run_forever()

    async def _taken(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        if self._silent:
            writer.transport.abort()
            return
        try:
            server_reader, server_writer = await asyncio.open_connection("127.0.0.1", self._to)
        except OSError:
            writer.transport.abort()
            return
        there = self._loop.create_task(self._carry(reader, server_writer))
        back = self._loop.create_task(self._carry(server_reader, writer))
        try:
            await asyncio.wait({there, back}, return_when=asyncio.FIRST_COMPLETED)
        except asyncio.CancelledError:
            return  # it is all being ended
        finally:
            for task, end in ((there, server_writer), (back, writer)):
                task.cancel()
                end.transport.abort()

    async def _carry(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        waiting: asyncio.Queue[tuple[float, bytes]] = asyncio.Queue()

        async def deliver() -> None:
            while True:
                at, piece = await waiting.get()
                await asyncio.sleep(max(0.0, at - self._loop.time()))
                writer.write(piece)

        delivering = self._loop.create_task(deliver())
        try:
            while piece := await reader.read(65536):
                if self._silent:
                    # Until it is mended and longer: bytes of a stream that were lost can never be made up for.
                    while self._silent:
                        await asyncio.sleep(0.05)
                    return
                delay_s = self._least_s + self._dice.random() * self._jitter_s
                waiting.put_nowait((self._loop.time() + delay_s, piece))
        except OSError:
            return
        finally:
            delivering.cancel()
