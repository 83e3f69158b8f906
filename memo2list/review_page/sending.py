"""Recordings and pictures sent in from a phone's browser: in pieces that can be resumed, each checked by its SHA-256.

A file on its way is kept in the store's folder as `incoming/ID.part`, its ID made from its name, size and date, so that the
same file chosen again goes on where it stopped, also after a restart. When all of it is there, a recording is heard and
its lines join the list; a picture is kept with its item.
"""

import hashlib
import json
import logging
import os
import re
import secrets
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response

from memo2list.errors import InputError, Memo2listError
from memo2list.hearing.capture_uploads import add_chunk, alone_in
from memo2list.review_page import album
from memo2list.review_page.desk import Desk
from memo2list.store.originals import safe_ending
from memo2list.store.pictures import ENDINGS as PICTURE_ENDINGS

IDENTITY = re.compile(r"[0-9a-f]{24}")
LARGEST = 8 << 30
KEPT_FREE = 500 << 20  # of the disk
LONGEST_NAME = 120
LOG = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Incoming:
    """A file on its way in."""

    identity: str
    name: str  # as its sender knows it; only shown, never a path
    size: int
    key: str = ""  # the item a picture belongs to; "" where the time it was taken says so
    modified: str = ""  # when its sender wrote it last: milliseconds from 1970


@dataclass(frozen=True, slots=True)
class Report:
    """What became of a file that was sent in, in one line."""

    name: str
    state: str


class Inbox:
    """The folder of files on their way, and what became of them: one report a file, by its identity."""

    def __init__(self, folder: Path):
        self.folder = folder
        self.reports: dict[str, Report] = {}
        self.hearing = threading.Lock()  # one recording at a time

    def tell(self, coming: Incoming, state: str) -> None:
        self.reports[coming.identity] = Report(coming.name, state)

    def part(self, identity: str) -> Path:
        """Where the pieces are put; InputError for what is no identity of ours."""
        if not IDENTITY.fullmatch(identity):
            raise InputError(repr(identity[:30]), "is no file on its way.", "Choose the file again.")
        return self.folder / f"{identity}.part"

    def begin(self, name: str, size: int, modified: str, key: str = "") -> tuple[Incoming, int]:
        """The file and how much of it is here already. InputError for one that is empty or larger than can be kept."""
        import shutil

        shown = shown_name(name)
        self.folder.mkdir(parents=True, exist_ok=True)
        if not 0 < size <= LARGEST or size > shutil.disk_usage(self.folder).free - KEPT_FREE:
            raise InputError(shown, f"cannot be taken ({size} bytes).", "Send a shorter file, or make room on the disk.")
        identity = hashlib.sha256(f"{shown}|{size}|{modified}|{key}".encode()).hexdigest()[:24]
        coming = Incoming(identity, shown, size, key, modified if modified.isdecimal() and len(modified) <= 14 else "")
        with alone_in(self.folder):
            self.part(identity).touch()
            self.part(identity).with_suffix(".json").write_text(json.dumps(asdict(coming)), encoding="utf-8")
            return coming, self.part(identity).stat().st_size

    def known(self, identity: str) -> Incoming:
        try:
            return Incoming(**json.loads(self.part(identity).with_suffix(".json").read_text(encoding="utf-8")))
        except (OSError, ValueError, TypeError):
            raise InputError(identity, "is not on its way.", "Choose the file again.") from None

    def take(self, identity: str, offset: int, data: bytes, sha256: str) -> int:
        """Takes a piece if it fits where the file stands and its hash is right; gives how much is here now."""
        fits = hashlib.sha256(data).hexdigest() == sha256.lower()
        with self._alone_with(identity) as (coming, part):
            here = part.stat().st_size
            if not fits or offset != here or offset + len(data) > coming.size:
                return here
            return add_chunk(self.folder, identity, offset, data).bytes

    def complete(self, identity: str) -> tuple[Incoming, Path]:
        """The whole file, named anew each time, under an ending that fits it; InputError while pieces are missing."""
        with self._alone_with(identity) as (coming, part):
            if (here := part.stat().st_size) != coming.size:
                what = f"is not all here ({here} of {coming.size} bytes)."
                raise InputError(coming.name, what, "Send it again; it goes on there.")
            whole = part.with_name(f"{identity}-{secrets.token_hex(4)}{safe_ending(Path(coming.name)) or '.bin'}")
            part.replace(whole)
            part.with_suffix(".json").unlink(missing_ok=True)
        written_ns = int(coming.modified or 0) * 1_000_000  # tells when a recording began, where the file itself does not:
        os.utime(whole, ns=(written_ns, written_ns))  # its sender's time, or none, never the time it arrived
        return coming, whole

    @contextmanager
    def _alone_with(self, identity: str) -> Iterator[tuple[Incoming, Path]]:
        """A file on its way, while no other sender can touch it; InputError for one that is not on its way."""
        self.folder.mkdir(parents=True, exist_ok=True)
        with alone_in(self.folder):
            coming, part = self.known(identity), self.part(identity)
            part.touch()
            yield coming, part


def shown_name(name: str) -> str:
    """What a sender calls a file, without folders; a long name is cut before its ending, which tells a picture.

    >>> shown_name("photos/porch.jpg"), shown_name(200 * "a" + ".jpg")[-6:], shown_name("")
    ('porch.jpg', 'aa.jpg', 'recording')
    """
    told = "".join(c for c in Path(name.replace("\\", "/")).name if c.isprintable())
    ending = Path(told).suffix if len(told) > LONGEST_NAME and safe_ending(Path(told)) else ""
    return f"{told[: LONGEST_NAME - len(ending)]}{ending}" or "recording"


def inbox_of(request: Request) -> Inbox:
    desk: Desk = request.app.state.desk
    if not hasattr(request.app.state, "inbox"):
        request.app.state.inbox = Inbox(desk.store.folder / "incoming")
    found: Inbox = request.app.state.inbox
    return found


def page(request: Request) -> Response:
    from memo2list.review_page.pages import rendered

    desk: Desk = request.app.state.desk
    items = [i for i in desk.store.items(desk.job) if i.review != "dropped"]
    return rendered(
        "send.html",
        job=desk.store.job(desk.job),
        items=items,
        reports=dict(inbox_of(request).reports),
        recordings=desk.recordings(),
    )


async def start(request: Request) -> Response:
    form = await request.form(max_files=0, max_fields=8)
    size = str(form.get("size", ""))
    if not size.isdecimal() or len(size) > 12:
        return JSONResponse({"refused": "The size is missing."}, 422)
    try:
        name, modified = str(form.get("name", "")), str(form.get("modified", ""))
        key = _key(request, str(form.get("key", "")))
        coming, here = await run_in_threadpool(inbox_of(request).begin, name, int(size), modified, key)
    except InputError as error:
        return JSONResponse({"refused": str(error)}, 422)
    return JSONResponse({"id": coming.identity, "offset": here})


async def piece(request: Request) -> Response:
    data = await request.body()
    inbox, identity, offset = inbox_of(request), request.path_params["name"], request.path_params["offset"]
    sha256 = request.headers.get("x-sha256", "")
    try:
        here = await run_in_threadpool(inbox.take, identity, offset, data, sha256)
    except InputError as error:
        return JSONResponse({"refused": str(error)}, 422)
    return JSONResponse({"offset": here}, 200 if here == offset + len(data) else 409)


def finish(request: Request) -> Response:
    inbox, desk = inbox_of(request), request.app.state.desk
    try:
        coming, whole = inbox.complete(request.path_params["name"])
    except InputError as error:
        return JSONResponse({"refused": str(error)}, 422)
    _take_in(inbox, desk, coming, whole)
    return JSONResponse({"state": inbox.reports[coming.identity].state})


async def plain(request: Request) -> Response:
    """The form without script: whole files in one go."""
    inbox, desk = inbox_of(request), request.app.state.desk
    async with request.form(max_files=20, max_fields=8) as form:
        key = _key(request, str(form.get("key", "")))
        for file in form.getlist("file"):
            if isinstance(file, UploadFile) and file.size:
                coming, whole = await run_in_threadpool(_whole, inbox, file, key)
                await run_in_threadpool(_take_in, inbox, desk, coming, whole)
    return RedirectResponse("/send", 303)


def state(request: Request) -> Response:
    return JSONResponse({identity: asdict(report) for identity, report in inbox_of(request).reports.items()})


def _key(request: Request, key: str) -> str:
    desk: Desk = request.app.state.desk
    return key if any(i.key == key for i in desk.store.items(desk.job)) else ""


def _whole(inbox: Inbox, file: UploadFile, key: str) -> tuple[Incoming, Path]:
    import shutil

    coming, _ = inbox.begin(file.filename or "", file.size or 0, secrets.token_hex(8), key)
    with inbox.part(coming.identity).open("wb") as out:
        shutil.copyfileobj(file.file, out, 1 << 20)
    return inbox.complete(coming.identity)


def _take_in(inbox: Inbox, desk: Desk, coming: Incoming, whole: Path) -> None:
    """A picture is kept at once; a recording is heard beside the page."""
    if whole.suffix not in PICTURE_ENDINGS:
        inbox.tell(coming, "is being heard")
        threading.Thread(target=_hear, args=(inbox, desk, coming, whole), daemon=True).start()
        return
    try:
        number = desk.store.attach(desk.job, coming.key, whole, coming.name)
        inbox.tell(coming, album.told(desk, number))
    except Exception as error:
        inbox.tell(coming, trouble(coming, error, "could not be kept"))
    finally:
        whole.unlink(missing_ok=True)


def trouble(coming: Incoming, error: Exception, what: str) -> str:
    """One line for the sender. What nobody foresaw is logged with its trace, so that it is not lost with its thread."""
    if isinstance(error, Memo2listError):
        return str(error)
    LOG.error("%s %s", coming.name, what, exc_info=error)
    return f"{what} ({type(error).__name__}). Send it again, or convert it first."


def _hear(inbox: Inbox, desk: Desk, coming: Incoming, whole: Path) -> None:
    from dataclasses import replace

    from memo2list.hearing import hear, unfinished_folder
    from memo2list.pipeline import keep_recording, list_transcripts, words_of
    from memo2list.settings import load_settings

    try:
        with inbox.hearing:
            transcript = hear(
                whole,
                model=desk.model,
                lexicon=desk.lexicon,
                own_words=words_of(load_settings(), desk.store, desk.job),
                work_folder=unfinished_folder(),
            )
            named = replace(transcript, recording=replace(transcript.recording, name=coming.name))
            keep_recording(desk.store, desk.job, whole, named)
            report = desk.store.save_list(desk.job, list_transcripts(desk.transcripts(), desk.lexicon))
        inbox.tell(coming, f"heard; {len(report.new)} new lines")
    except Exception as error:
        inbox.tell(coming, trouble(coming, error, "could not be heard"))
    finally:
        whole.unlink(missing_ok=True)
