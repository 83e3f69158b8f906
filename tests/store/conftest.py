"""A store of one job with three items, made for each test."""

import dataclasses
import hashlib

import pytest

from memo2list.records import Item, PunchList, Quote, Recording, Transcript, Turn, Word, WordRange
from memo2list.store import open_store
from memo2list.store.edits import EMPTY
from memo2list.timing import TimeSpan

CONTENT = b"not really sound"
SHA = hashlib.sha256(CONTENT).hexdigest()
JOB = "Mill Lane 4"


def said(text: str, start_ms: int) -> Quote:
    return Quote(SHA, WordRange(0, len(text.split())), TimeSpan(start_ms, start_ms + 3000), text)


def item(number: int, element: str, issue: str = "rot", **given: object) -> Item:
    title = f"{element.capitalize()}: {issue} — repair"
    quotes = (said(f"the {element} has {issue}", number * 10_000),)
    base = dataclasses.replace(
        EMPTY,
        number=number,
        key=f"k{number}",
        kind="problem",
        title=title,
        element=element,
        heard=(element,),
        issues=(issue,),
        actions=("repair",),
        location="front porch",
        quotes=quotes,
        review="unreviewed",
        confidence=0.8,
    )
    return dataclasses.replace(base, **given)


def punch_list(*items: Item) -> PunchList:
    return PunchList((Recording("walk.wav", SHA, 60_000, "whisper base int8"),), items, ())


THREE = (item(1, "fascia"), item(2, "gutter", "leak"), item(3, "stair tread", "crack"))


def transcript(words: str = "the fascia has rot") -> Transcript:
    listed = tuple(Word(w, TimeSpan(n * 400, n * 400 + 300)) for n, w in enumerate(words.split()))
    return Transcript(Recording("walk.wav", SHA, 60_000, "whisper base int8"), listed, (Turn(WordRange(0, len(listed))),))


@pytest.fixture
def store(tmp_path):
    with open_store(tmp_path / "store") as opened:
        opened.add_job(JOB, customer="K. Holm", address="4 Mill Lane")
        recording = tmp_path / "walk.wav"
        recording.write_bytes(CONTENT)
        opened.keep_recording(JOB, recording, transcript())
        opened.save_list(JOB, punch_list(*THREE))
        yield opened
