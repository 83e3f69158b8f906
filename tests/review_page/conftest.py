"""A store with one job of four lines over a short tone, a desk on it, and a client that has come in."""

import dataclasses
import hashlib
import io
import math
import struct
import wave

import pytest
from starlette.testclient import TestClient

from memo2list.records import (
    Caution,
    Flag,
    Item,
    PunchList,
    Quantity,
    Quote,
    Recording,
    SetAside,
    Transcript,
    Turn,
    Word,
    WordRange,
)
from memo2list.review_page.app import make_app
from memo2list.review_page.desk import Desk
from memo2list.review_page.door import Door
from memo2list.store import open_store
from memo2list.store.edits import EMPTY
from memo2list.timing import TimeSpan

JOB = "Mill Lane 4"
HOST = "127.0.0.1:8000"
TALK = (
    "okay front porch the fascia is rotten about twelve feet the gutter leaks at the corner "
    "round the back the stair tread is cracked and the <b>hand</b> rail is loose we leave the soffit it is fine"
)


def tone(seconds: float = 16, rate: int = 8000) -> bytes:
    """A wav file of a quiet tone."""
    held = io.BytesIO()
    with wave.open(held, "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(rate)
        out.writeframes(b"".join(struct.pack("<h", int(6000 * math.sin(n / 9))) for n in range(int(seconds * rate))))
    return held.getvalue()


SOUND = tone()
SHA = hashlib.sha256(SOUND).hexdigest()
RECORDING = Recording("walk.wav", SHA, 16_000, "whisper base int8")


def transcript() -> Transcript:
    words = tuple(Word(w, TimeSpan(n * 400, n * 400 + 350)) for n, w in enumerate(TALK.split()))
    return Transcript(RECORDING, words, (Turn(WordRange(0, len(words)), "A"),))


def quote(first: int, stop: int, *marked: tuple[int, int]) -> Quote:
    said = transcript()
    words = WordRange(first, stop)
    return Quote(SHA, words, said.time(words), said.quote(words), tuple(WordRange(*m) for m in marked))


def item(number: int, element: str, issue: str, place: str | None, *quotes: Quote, **given: object) -> Item:
    base = dataclasses.replace(
        EMPTY,
        number=number,
        key=f"k{number}",
        kind="problem",
        title=f"{element.capitalize()}: {issue} — repair",
        element=element,
        heard=(element,),
        issues=(issue,),
        actions=("repair",),
        location=place,
        quotes=quotes,
        review="unreviewed",
        confidence=0.9,
    )
    return dataclasses.replace(base, **given)


FOUR = (
    item(
        1,
        "fascia",
        "rot",
        "front porch",
        quote(3, 10, (4, 5), (6, 7)),
        quantities=(Quantity(12, "ft", "length", "about twelve feet", WordRange(7, 10), True),),
        questions=("Which side of the downspout?",),
    ),
    item(2, "gutter", "leak", "at the corner, front porch", quote(10, 16)),
    item(
        3,
        "stair tread",
        "crack",
        "back",
        quote(19, 24),
        flags=(Flag("sounds-like", 'heard "stare tread", taken as stair tread'),),
    ),
    item(
        4,
        "hand rail",
        "loose",
        "back",
        quote(24, 30),
        title="<b>hand</b> rail: loose",
        safety=True,
        cautions=(Caution("A guard holds people back from a fall.", "a handbook"),),
    ),
)
ASIDE = SetAside("negated", "soffit", ("rot",), (), (quote(32, 37),), "fine")


@pytest.fixture
def store(tmp_path):
    with open_store(tmp_path / "store") as opened:
        opened.add_job(JOB, customer="K. Holm", address="4 Mill Lane")
        recording = tmp_path / "walk.wav"
        recording.write_bytes(SOUND)
        opened.keep_recording(JOB, recording, transcript())
        opened.save_list(JOB, PunchList((RECORDING,), FOUR, (ASIDE,)))
        yield opened


@pytest.fixture
def desk(store, tmp_path):
    return Desk(store, JOB, Door(frozenset({HOST}), 8000), tmp_path / "own")


@pytest.fixture
def stranger(desk):
    """A client that has not come in."""
    return TestClient(make_app(desk), base_url=f"http://{HOST}", follow_redirects=False)


@pytest.fixture
def client(desk, stranger):
    """A client with a session, that sends what our own page sends."""
    stranger.get(f"/enter/{desk.door.new_token('Ada')}")
    stranger.headers["origin"] = f"http://{HOST}"
    return stranger
