"""The page of the demo job in a real browser: shared by the browser tests and by `python -m tests.benchmarks.review_keys`."""

import contextlib
import dataclasses
import shutil
import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path

from memo2list.pipeline import list_transcripts
from memo2list.review_page.app import make_app
from memo2list.review_page.desk import Desk
from memo2list.review_page.door import Door
from memo2list.review_page.serve import bound, hosts_of
from memo2list.store import Store, open_store
from memo2list.transcript_json import transcript_from_json

DEMO = Path(__file__).parent.parent.parent / "demo_audio"
JOB = "Alder Lane"
ARGUMENTS = ["--no-sandbox", "--autoplay-policy=no-user-gesture-required"]


def chromium() -> str | None:
    """Debian's Chromium, or None."""
    return shutil.which("chromium") or shutil.which("chromium-browser")


def demo_store(folder: Path, times: int = 1) -> Store:
    """A store with the demo walkthrough as one job; `times` repeats its lines."""
    store = open_store(folder)
    store.add_job(JOB, customer="R. Vane", address="12 Alder Lane")
    transcript = transcript_from_json((DEMO / "heard.json").read_text(encoding="utf-8"))
    store.keep_recording(JOB, DEMO / "walk.opus", transcript)
    found = list_transcripts([transcript], reader="quick")
    items = [
        dataclasses.replace(i, key=f"{i.key}-{n}", number=i.number + n * len(found.items))
        for n in range(times)
        for i in found.items
    ]
    store.save_list(JOB, dataclasses.replace(found, items=tuple(items if times > 1 else found.items)))
    return store


@contextlib.contextmanager
def served(store: Store, folder: Path) -> Iterator[Desk]:
    """The page on a free port of this machine, while the block runs."""
    import uvicorn

    listening: socket.socket = bound("", 0)
    port = listening.getsockname()[1]
    desk = Desk(store, JOB, Door(hosts_of(port, ""), port), folder / "own", model="tiny.en")
    server = uvicorn.Server(uvicorn.Config(make_app(desk), log_level="error", timeout_graceful_shutdown=1))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    try:
        yield desk
    finally:
        server.should_exit = True
        thread.join(5)
        listening.close()


def link(desk: Desk, who: str = "Ada") -> str:
    host = next(h for h in desk.door.hosts if h.startswith("127."))
    return f"http://{host}/enter/{desk.door.new_token(who)}"
