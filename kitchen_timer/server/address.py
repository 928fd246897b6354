"""Where the server is found: its socket, and the address phones can use."""

import socket
import time

from kitchen_timer.kitchen.problems import KitchenProblem


class PortTaken(KitchenProblem):
    """The port cannot be listened on."""

    code = "port-taken"


def listen(port: int, lan: bool, patience_s: float = 4.0) -> socket.socket:
    """A listening socket: on this machine only, or on every network it is in. ``port`` 0 takes a free one.

    After a crash the old process may hold the port for a moment: it is tried again for ``patience_s`` seconds.
    Raises :class:`PortTaken`.
    """
    host = "0.0.0.0" if lan else "127.0.0.1"
    give_up = time.monotonic() + patience_s
    while True:
        listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listening.bind((host, port))
            listening.listen(256)
            return listening
        except OSError as taken:
            listening.close()
            if time.monotonic() > give_up:
                raise PortTaken(
                    f"Port {port} cannot be used ({taken.strerror or taken}).",
                    "Close what uses it, or choose another with --port (0 takes a free one).",
                ) from None
            time.sleep(0.2)


def lan_host() -> str | None:
    """This machine's address in its network; None when it is in none.

    Asks the system which address it would send from; nothing is sent (192.0.2.1 is kept for documentation, RFC 5737).
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
            host = str(probe.getsockname()[0])
        except OSError:
            return None
    return None if host.startswith(("127.", "0.")) else host
