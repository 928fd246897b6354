"""One shape for every refusal: RFC 9457 problem details, with the fields at fault and their cures."""

import json
import logging
from http import HTTPStatus

from flask import Flask, Response, current_app, request
from werkzeug.exceptions import HTTPException

from kitchen_timer.kitchen.problems import BadMessage, Fault, KitchenProblem, UnreadableFiles
from kitchen_timer.server.messages import FaultView, Problem, Refused, write

_log = logging.getLogger(__name__)

_STATUS = {
    "bad-message": 400,
    "not-now": 409,
    "unknown-table": 422,
    "unknown-step": 422,
    "unknown-dish": 422,
    "unknown-place": 422,
    "dish-is-off": 409,
    "unknown-station": 404,
    # Not the sender's fault: the disk is full, say, or the planner is being started again.
    "not-recorded": 503,
    "place-taken": 503,
    "planner-silent": 503,
}
_TITLES = {
    "bad-message": "The message cannot be read",
    "not-now": "Not possible as things stand",
    "unknown-table": "No table has this course",
    "unknown-step": "No open course has this step",
    "unknown-dish": "The book has no such dish",
    "unknown-place": "The kitchen has no such station or equipment",
    "dish-is-off": "There is none left",
    "unknown-station": "The kitchen has no such station",
    "not-recorded": "It could not be written down",
    "place-taken": "Another server writes to this kitchen's log",
    "planner-silent": "The planner does not answer",
}


class UnknownStation(KitchenProblem):
    """A page asks for a station that the kitchen does not have."""

    code = "unknown-station"


def problem_of(refusal: KitchenProblem) -> Problem:
    """What the client is told of a refusal; a 4xx, or a 503 where the fault is not the sender's."""
    faults: list[Fault] = refusal.faults if isinstance(refusal, (BadMessage, UnreadableFiles)) else []
    told = [FaultView(where=f.where, what=f.what, cure=f.cure) for f in faults]
    if not told and refusal.cure:
        field = refusal.details.get("where", "")
        told = [FaultView(where=str(field), what=refusal.sentence, cure=refusal.cure)]
    return Problem(
        type=f"urn:kitchen-timer:problem:{refusal.code}",
        title=_TITLES.get(refusal.code) or refusal.code.replace("-", " ").capitalize(),
        status=_STATUS.get(refusal.code, 422),
        detail=str(refusal),
        code=refusal.code,
        faults=tuple(told),
    )


def broken() -> Problem:
    """What the client is told when the fault is ours. The traceback goes to the server's log only."""
    return Problem(
        type="urn:kitchen-timer:problem:broken",
        title="The server made a mistake",
        status=500,
        detail="The server made a mistake and changed nothing: try again, and tell whoever looks after it.",
        code="broken",
    )


def refused(raised: Exception) -> Refused:
    """The reply to a socket's question that raised this; unexpected ones are logged with their traceback."""
    if isinstance(raised, KitchenProblem):
        _count(raised)
        return Refused(problem=problem_of(raised))
    _log.error("a message broke the server", exc_info=raised)
    return Refused(problem=broken())


def _count(refusal: KitchenProblem) -> None:
    seen = current_app.extensions.get("seen")
    if seen is not None and isinstance(refusal, (BadMessage, UnknownStation)):
        seen.unread(refusal.code)


def reply(problem: Problem) -> Response:
    """An HTTP reply with a problem in it."""
    return Response(json.dumps(write(problem)), problem.status, content_type="application/problem+json")


def answer_refusals(app: Flask) -> None:
    """Make every refusal and error of ``app`` a problem reply."""

    @app.errorhandler(KitchenProblem)
    def _refusal(refusal: KitchenProblem) -> Response:
        _count(refusal)
        return reply(problem_of(refusal))

    @app.errorhandler(HTTPException)
    def _http(raised: HTTPException) -> Response:
        if raised.response is not None or raised.code is None or raised.code < 400:
            return Response(status=raised.code or 500) if raised.response is None else _as_flask(raised)
        status = HTTPStatus(raised.code)
        code = status.phrase.lower().replace(" ", "-")
        return reply(
            Problem(
                type=f"urn:kitchen-timer:problem:{code}",
                title=status.phrase,
                status=raised.code,
                detail=_DETAILS.get(raised.code, raised.description or status.phrase).format(path=request.path),
                code=code,
            )
        )

    @app.errorhandler(Exception)
    def _broken(raised: Exception) -> Response:
        _log.error("%s %s broke", request.method, request.path, exc_info=raised)
        return reply(broken())


def _as_flask(raised: HTTPException) -> Response:
    response = raised.get_response()
    return Response(response.get_data(), response.status_code, dict(response.headers))


_DETAILS = {
    400: "The body is not JSON: send one JSON object.",
    404: "There is nothing at {path}: /api/openapi.json lists what there is.",
    405: "{path} does not take this method: /api/openapi.json says which it takes.",
    413: "The message is too large: 256 KB are enough for any order.",
    415: "Send JSON with the header Content-Type: application/json.",
}
