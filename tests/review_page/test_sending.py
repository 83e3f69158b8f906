"""Files sent in pieces arrive whole, however often they are interrupted."""

import hashlib
import random
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from memo2list.errors import InputError
from memo2list.review_page.sending import Inbox
from tests.pictures import picture_file
from tests.review_page.conftest import JOB

DATA = random.Random(7).randbytes(300_000)


def sha(data):
    return hashlib.sha256(data).hexdigest()


@pytest.fixture
def inbox(tmp_path):
    return Inbox(tmp_path / "incoming")


def send_from(inbox, coming, offset, stop=None):
    while offset < (stop or len(DATA)):
        piece = DATA[offset : offset + 70_000]
        offset = inbox.take(coming.identity, offset, piece, sha(piece))
    return offset


def test_an_interrupted_file_goes_on_where_it_stopped_even_after_a_restart(inbox, tmp_path):
    coming, here = inbox.begin("walk.mp4", len(DATA), "1")
    send_from(inbox, coming, here, stop=100_000)
    again = Inbox(tmp_path / "incoming")
    coming, here = again.begin("walk.mp4", len(DATA), "1")
    assert here == 140_000
    send_from(again, coming, here)
    assert again.complete(coming.identity)[1].read_bytes() == DATA


def test_a_damaged_piece_is_not_taken(inbox):
    coming, _ = inbox.begin("walk.mp4", len(DATA), "1")
    assert inbox.take(coming.identity, 0, DATA[:1000], sha(DATA[1:1001])) == 0


def test_a_piece_sent_twice_is_taken_once(inbox):
    coming, _ = inbox.begin("walk.mp4", len(DATA), "1")
    for _ in range(2):
        here = inbox.take(coming.identity, 0, DATA[:1000], sha(DATA[:1000]))
    assert here == 1000


def test_an_unfinished_file_is_not_handed_on(inbox):
    coming, _ = inbox.begin("walk.mp4", len(DATA), "1")
    with pytest.raises(InputError, match="0 of 300000 bytes"):
        inbox.complete(coming.identity)


def test_a_file_that_two_senders_finish_is_handed_on_once(inbox):
    """Both sent its last piece, both say so at the same time."""
    coming, _ = inbox.begin("walk.mp4", len(DATA), "1")
    send_from(inbox, coming, 0)

    def finish(_):
        try:
            return inbox.complete(coming.identity)[1].read_bytes()
        except InputError as error:
            return str(error)

    with ThreadPoolExecutor(8) as pool:
        told = list(pool.map(finish, range(8)))
    assert told.count(DATA) == 1
    assert all(one == DATA or "is not on its way" in one for one in told)


def test_a_piece_cannot_slip_in_while_the_file_is_finished(inbox, monkeypatch):
    coming, _ = inbox.begin("walk.mp4", len(DATA), "1")
    send_from(inbox, coming, 0)
    sent, was = [], Path.replace

    def slow(path, target):
        piece = threading.Thread(target=lambda: sent.append(ends(lambda: inbox.take(coming.identity, 0, b"x", sha(b"x")))))
        piece.start()
        piece.join(0.3)
        assert not sent  # it waits for its turn
        return was(path, target)

    monkeypatch.setattr(Path, "replace", slow)
    assert inbox.complete(coming.identity)[1].read_bytes() == DATA
    while not sent:
        time.sleep(0.01)
    assert "is not on its way" in sent[0]


def ends(call):
    try:
        return call()
    except Exception as error:
        return str(error)


def test_a_file_sent_again_while_it_is_heard_does_not_take_the_first_ones_place(inbox):
    wholes = []
    for _ in range(2):
        coming, _ = inbox.begin("walk.mp4", len(DATA), "1")
        send_from(inbox, coming, 0)
        wholes.append(inbox.complete(coming.identity)[1])
    wholes[0].unlink()  # the first was heard
    assert wholes[1].read_bytes() == DATA


@pytest.mark.parametrize("identity", ["../memo2list", "/etc/passwd", "a" * 23, ""])
def test_only_our_own_names_reach_the_disk(inbox, identity):
    with pytest.raises(InputError):
        inbox.part(identity)


def test_a_picture_with_a_long_name_is_still_a_picture(inbox):
    coming, here = inbox.begin(f"{'a' * 300}.jpg", len(DATA), "1")
    send_from(inbox, coming, here)
    assert inbox.complete(coming.identity)[1].suffix == ".jpg"
    assert len(coming.name) == 120


def test_a_name_is_shown_and_never_a_path(inbox):
    coming, _ = inbox.begin("..\\..\\etc/../walk.mp4", 10, "1")
    assert coming.name == "walk.mp4"


def test_a_transcript_sent_over_the_page_joins_the_list(client, store):
    said = b"[0:01] Okay, garage.\n[0:04] The garage door is dented, replace the bottom panel.\n"
    begun = client.post("/send/start", data={"name": "walk.txt", "size": str(len(said)), "modified": "1"}).json()
    answer = client.put(f"/send/{begun['id']}/0", content=said, headers={"x-sha256": sha(said)})
    assert answer.json()["offset"] == len(said)
    client.post(f"/send/{begun['id']}/finish", content=b"")
    for thread in threading.enumerate():
        if thread.name.startswith("Thread-") and thread.daemon:
            thread.join(60)
    assert client.get("/send/state").json()[begun["id"]]["state"].startswith("heard")
    assert len(store.recordings(JOB)) == 2


@pytest.mark.parametrize(("modified", "written_s"), [("1740817800000", 1_740_817_800), ("0", 0), ("", 0), ("3f9a", 0)])
def test_a_file_bears_the_time_its_sender_wrote_it_never_the_time_it_arrived(inbox, modified, written_s):
    """A recording sent hours later would else be taken for one that has just ended."""
    coming, _ = inbox.begin("walk.webm", len(DATA), modified)
    send_from(inbox, coming, 0)
    assert inbox.complete(coming.identity)[1].stat().st_mtime == written_s


def test_a_picture_is_kept_with_its_line(client, store, tmp_path):
    file = picture_file(tmp_path / "porch.jpg")
    with file.open("rb") as opened:
        answer = client.post("/send/plain", data={"key": "k2"}, files={"file": ("porch.jpg", opened, "image/jpeg")})
    assert answer.status_code == 303
    assert [p.key for p in store.pictures(JOB)] == ["k2"]
    assert client.get("/picture/0").headers["content-type"] == "image/jpeg"


def test_trouble_nobody_foresaw_is_told_in_one_line_and_logged_and_the_next_file_is_taken(
    client, store, tmp_path, monkeypatch, caplog
):
    was, files = type(store).attach, []
    for n in range(2):
        made = picture_file(tmp_path / f"{n}.png", size=(64, 48 + n))
        files.append(("file", (made.name, made.read_bytes(), "image/png")))

    def attach(self, job, key, file, name=""):
        if name == "0.png":
            raise ZeroDivisionError("a picture without height")
        return was(self, job, key, file, name)

    monkeypatch.setattr(type(store), "attach", attach)
    assert client.post("/send/plain", data={"key": "k2"}, files=files).status_code == 303
    told = {r["name"]: r["state"] for r in client.get("/send/state").json().values()}
    assert told["0.png"] == "could not be kept (ZeroDivisionError). Send it again, or convert it first."
    assert told["1.png"] == "kept with line 2"
    assert "a picture without height" in caplog.text
    assert not list((store.folder / "incoming").glob("*.png"))
