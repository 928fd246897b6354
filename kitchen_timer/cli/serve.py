"""``kitchen-timer serve``: a kitchen's service, live, for its screens and phones."""

import argparse
import io
import sys
from pathlib import Path
from typing import Any

import segno

from kitchen_timer.cli.out import say
from kitchen_timer.kitchen.problems import KitchenProblem

PORT = 8410

MOST_SPEED = 30.0

OPEN_TO_ALL = (
    "Open to the whole network: until joining is protected, anyone on this network can see and use this kitchen."
)


class WrongOption(KitchenProblem):
    """Options that do not go together."""

    code = "wrong-option"


def add(subparsers: Any) -> None:
    """Adds the verb ``serve``."""
    parser = subparsers.add_parser(
        "serve",
        help="run a service: pass, order and station pages",
        description="Runs a service and prints where to open its pages. State is kept: started again, it goes on.",
    )
    parser.add_argument("--kitchen", type=Path, metavar="DIR", help="holds kitchen.yaml and book/")
    parser.add_argument("--demo", action="store_true", help="an invented kitchen with an evening under way")
    parser.add_argument(
        "--data", type=Path, metavar="DIR", help="where its state lives (default: the platform's place)"
    )
    parser.add_argument("--port", type=int, default=PORT, help=f"default {PORT}; 0 takes a free one")
    parser.add_argument("--lan", action="store_true", help="open it to the kitchen's network, for phones")
    parser.add_argument("--speed", type=float, metavar="N", help="demo only: its clock runs N times as fast")
    parser.add_argument(
        "--log",
        choices=("quiet", "words", "json"),
        default="quiet",
        help="on stderr: only what is wrong (default), all that happens in words, or as one JSON object a line",
    )
    parser.add_argument("--fresh", action="store_true", help="demo only: begin the evening anew")


def run(args: argparse.Namespace) -> int:
    """Serve until it is ended by a signal."""
    # Imported here: the other verbs need neither Flask nor gunicorn, and start faster without.
    from kitchen_timer import assemble
    from kitchen_timer.server.address import lan_host, listen
    from kitchen_timer.server.log_lines import log_to_stderr
    from kitchen_timer.server.run import serve

    _refuse_wrong_options(args)
    log_to_stderr(args.log)
    kitchen_dir = assemble.demo_kitchen() if args.demo else args.kitchen
    kitchen, _book = assemble.read(kitchen_dir)
    data = args.data or assemble.data_folder(kitchen, demo=args.demo)
    with assemble.held(data), listen(args.port, args.lan) as listening:
        port = listening.getsockname()[1]
        host = (lan_host() if args.lan else None) or "127.0.0.1"
        settings = assemble.Settings(
            kitchen_dir=kitchen_dir,
            stations=tuple(kitchen.stations),
            data=data,
            address=f"http://{host}:{port}",
            lan=args.lan,
            demo=args.demo,
            speed=args.speed or 1.0,
        )
        if args.fresh:
            assemble.begin_anew(data)
        _say_where(kitchen.name, settings, port)
        return serve(listening, lambda: assemble.start(settings))


def _refuse_wrong_options(args: argparse.Namespace) -> None:
    if args.demo and args.kitchen is not None:
        raise WrongOption("--demo has a kitchen of its own.", "Leave out --kitchen, or --demo.")
    if not args.demo and args.kitchen is None:
        raise WrongOption("Which kitchen?", "Name its folder with --kitchen DIR, or try --demo.")
    if args.speed is not None and not args.demo:
        raise WrongOption("--speed is for the demo only.", "A real kitchen's clock runs as clocks do: leave it out.")
    if args.speed is not None and not 0.1 <= args.speed <= MOST_SPEED:
        raise WrongOption(f"--speed {args.speed:g} is too slow or too fast.", f"Choose from 0.1 to {MOST_SPEED:g}.")
    if args.fresh and not args.demo:
        raise WrongOption("--fresh is for the demo only.", "A real service is never thrown away: leave it out.")
    if not 0 <= args.port <= 65535:
        raise WrongOption(f"--port {args.port} is no port.", "Choose one from 1024 to 65535, or 0 for a free one.")


def _say_where(name: str, settings: Any, port: int) -> None:
    address = settings.address
    say(f"\n{name}{': an invented kitchen, with invented cooks and guests' if settings.demo else ''}\n")
    say(f"  front page   {address}/        (a QR code for each page)")
    say(f"  pass         {address}/pass")
    say(f"  orders       {address}/order")
    say(f"  a station    {address}/station/{next(iter(settings.stations))}\n")
    drawn = io.StringIO()
    segno.make(address + "/", error="m", micro=False).terminal(drawn, border=2, compact=True)
    say(drawn.getvalue())
    if settings.lan:
        say(f"{OPEN_TO_ALL} On this machine: http://127.0.0.1:{port}/")
    else:
        say("Only this machine can open it. For phones, start it with --lan.")
    say(f"Its state is kept in {settings.data}. Ctrl-C ends it; started again, it goes on where it was.\n")
    sys.stdout.flush()
