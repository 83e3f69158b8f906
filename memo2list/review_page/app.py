"""The review page as a web application: which address is answered by what, behind the guard."""

from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from memo2list.errors import Memo2listError
from memo2list.review_page import album, files, pages, sending
from memo2list.review_page.desk import Desk
from memo2list.review_page.guard import Guard

ROUTES = (
    Route("/", pages.page),
    Route("/enter/{token}", pages.enter),
    Route("/walk", pages.walk),
    Route("/opened/{key}", pages.opened),
    Route("/change", pages.change, methods=["POST"]),
    Route("/news", pages.news),
    Route("/aside", pages.aside),
    Route("/talk", pages.talk),
    Route("/album", album.page),
    Route("/words", pages.words),
    Route("/link", pages.link),
    Route("/name", pages.name, methods=["POST"]),
    Route("/media/{sha256}", files.recording_media),
    Route("/levels/{sha256}.svg", files.recording_levels),
    Route("/captions/{sha256}.vtt", files.recording_captions),
    Route("/frame/{sha256}/{at_ms:int}.jpg", files.recording_frame),
    Route("/picture/{number:int}", files.picture),
    Route("/send", sending.page),
    Route("/send/plain", sending.plain, methods=["POST"]),
    Route("/send/start", sending.start, methods=["POST"]),
    Route("/send/{name}/{offset:int}", sending.piece, methods=["PUT"]),
    Route("/send/{name}/finish", sending.finish, methods=["POST"]),
    Route("/send/state", sending.state),
    Mount("/static", StaticFiles(directory=pages.HERE / "static")),
)


def told(_request: Request, error: Exception) -> Response:
    """Trouble the store tells of, in its own words."""
    return PlainTextResponse(str(error), 422)


def make_app(desk: Desk) -> Starlette:
    """The application for one job; nobody gets past the guard without a session of `desk.door`."""
    app = Starlette(
        routes=list(ROUTES),
        middleware=[Middleware(Guard, door=desk.door)],
        exception_handlers={Memo2listError: told},
    )
    app.state.desk = desk
    return app
