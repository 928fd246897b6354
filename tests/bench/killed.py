"""``python -m tests.bench.killed --times 200``: an engine on a real database is killed at random instants under load.

Each time a child process asks for things of every kind, as fast as it can, and says on a pipe what it tries and what
is acknowledged. It is killed (SIGKILL) after a random time; the next child first sends again what was never
acknowledged, as a phone's outbox does, and goes on. After each kill everything is read back:

- every acknowledged command is in the log, once, under the number it was acknowledged with;
- the log counts from 1 without gaps;
- two engines that read it show the same boards, and what was cooking before is cooking still.

With ``--server`` the whole program is killed instead while several devices tap over Socket.IO (``killed_server.py``).
The kitchen and its guests are invented.
"""

import argparse
import os
import pickle
import random
import select
import signal
import struct
import sys
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path

from kitchen_timer.kitchen.problems import KitchenProblem
from kitchen_timer.live.clock import TurnedClock
from kitchen_timer.record.event_log import ClientMark
from kitchen_timer.record.in_database import DatabaseLog, sqlite_log
from kitchen_timer.service.commands import Command
from tests.bench import killed_server
from tests.live.luck import Luck, accounted_for, boards
from tests.live.tonight import Tonight

KITCHEN, CLIENT = "skerrymoot", "luck"
LONGEST_S = 0.6
"""A child lives at most so long after its first word."""
MOST_OPEN = 8
"""So many courses open at once: then the chef sends."""


@dataclass
class Counted:
    """What came of it."""

    kills: int = 0
    acknowledged: dict[int, int] = field(default_factory=dict)
    """``seq`` by the client's own number."""
    refused: int = 0
    in_doubt: int = 0
    """Kills between a command and its answer."""
    of_those_written: int = 0
    events: int = 0
    slowest_start_s: float = 0.0
    last: int = 0
    """The client's own number of what it tried last."""


def child(path: Path, seed: int, first: int, again: "tuple[int, Command] | None", pipe: int) -> None:
    """Asks for things until it is killed. Never returns."""

    def say(*words: object) -> None:
        body = pickle.dumps(words)
        os.write(pipe, struct.pack("I", len(body)) + body)

    tonight = opened(sqlite_log(path))
    luck = Luck(tonight, seed)
    number = first
    say("ready")
    while True:
        if again is not None:
            number, command = again
            again = None
        else:
            number += 1
            board = tonight.board()
            busy = len(board.courses) + len(board.held) > MOST_OPEN
            command = luck.command("take_off_course" if busy else None)
        say("tries", number, command)
        try:
            ack = tonight.engine.do(command, CLIENT, number)
        except KitchenProblem:
            say("refused", number)
        else:
            luck.acks.append(ack.seq)
            say("done", number, ack.seq)
        tonight.at(tonight.now + luck.dice.choice([0, 1, 3, 10, 30]))


def opened(log: DatabaseLog) -> Tonight:
    """The evening of a log, its clock where the log ends."""
    last = max((entry.at_ms for entry in log.read(KITCHEN)), default=None)
    tonight = Tonight(log=log)
    if last is not None:
        tonight.clock = TurnedClock(max(tonight.clock.now(), -(-last // 1000)))
        tonight.restart()
    return tonight


def killed_once(path: Path, seed: int, counted: Counted, again: "tuple[int, Command] | None") -> object:
    """One child from its start to its end; what it tried last and never heard of."""
    dice = random.Random(seed)
    reading, writing = os.pipe()
    process = os.fork()
    if process == 0:
        os.close(reading)
        try:
            child(path, seed, counted.last, again, writing)
        finally:
            os._exit(1)
    os.close(writing)
    heard = os.read(reading, 65536)
    kill_at = time.monotonic() + dice.uniform(0, LONGEST_S)
    while (left_s := kill_at - time.monotonic()) > 0:
        if select.select([reading], [], [], left_s)[0]:
            words = os.read(reading, 65536)
            assert words, "the child ended by itself"
            heard += words
    os.kill(process, signal.SIGKILL)
    while words := os.read(reading, 65536):
        heard += words
    os.close(reading)
    os.waitpid(process, 0)
    counted.kills += 1
    return _took_down(heard, counted, again)


def _took_down(heard: bytes, counted: Counted, again: object) -> object:
    open_one = again
    while len(heard) >= 4:
        (size,) = struct.unpack("I", heard[:4])
        if len(heard) < 4 + size:
            break
        kind, *rest = pickle.loads(heard[4 : 4 + size])
        heard = heard[4 + size :]
        if kind == "tries":
            open_one = (rest[0], rest[1])
            counted.last = rest[0]
        elif kind == "done":
            counted.acknowledged[rest[0]] = rest[1]
            open_one = None
        elif kind == "refused":
            counted.refused += 1
            open_one = None
    return open_one


def read_back(path: Path, counted: Counted, open_one: object) -> None:
    """Everything that was promised is there."""
    log = sqlite_log(path)
    entries = list(log.read(KITCHEN))
    assert [entry.seq for entry in entries] == list(range(1, len(entries) + 1)), "the log has gaps"
    firsts: dict[int, int] = {}
    for entry in entries:
        assert entry.command <= entry.seq
        if entry.client_id == CLIENT and entry.client_seq is not None:
            assert firsts.setdefault(entry.client_seq, entry.command) == entry.command, "a command is there twice"
    for number, seq in counted.acknowledged.items():
        assert firsts.get(number) == seq, f"command {number} was acknowledged as {seq} and is {firsts.get(number)}"
        assert log.acknowledged(KITCHEN, ClientMark(CLIENT, number)) == seq
    if isinstance(open_one, tuple):
        counted.in_doubt += 1
        counted.of_those_written += open_one[0] in firsts
    began = time.process_time()
    tonight = opened(log)
    counted.slowest_start_s = max(counted.slowest_start_s, time.process_time() - began)
    shown = boards(tonight, tonight.engine)
    assert boards(tonight, tonight.restart()) == shown, "two readings of one log differ"
    tonight.engine.wake()
    accounted_for(tonight)
    counted.events = len(entries)
    log.close()


def run(path: Path, times: int, seed: int) -> Counted:
    """Kill so many children one after another."""
    counted = Counted()
    open_one: object = None
    for turn in range(times):
        open_one = killed_once(path, seed + turn, counted, open_one if isinstance(open_one, tuple) else None)
        read_back(path, counted, open_one)
    return counted


def main() -> None:
    """Run it and print what was counted."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--times", type=int, default=200, help="so many kills")
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--server", action="store_true", help="kill the whole program, not an engine")
    told = asked.parse_args()
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(143))  # as Ctrl-C: what was started is ended
    if told.server:
        print("\n".join(killed_server.told(killed_server.run(told.times, told.seed))))  # noqa: T201
        return
    with tempfile.TemporaryDirectory() as folder:
        counted = run(Path(folder) / "service.sqlite", told.times, told.seed)
    print(f"kills                              {counted.kills}")  # noqa: T201
    print(f"commands acknowledged, none lost   {len(counted.acknowledged)}")  # noqa: T201
    print(f"commands refused                   {counted.refused}")  # noqa: T201
    print(f"killed before the answer           {counted.in_doubt}, of which written {counted.of_those_written}")  # noqa: T201
    print(f"events in the log                  {counted.events}")  # noqa: T201
    print(f"slowest start again                {counted.slowest_start_s:.2f} s of processor time")  # noqa: T201


if __name__ == "__main__":
    main()
