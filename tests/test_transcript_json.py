"""A transcript goes to JSON and comes back the same, whatever was said."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memo2list.errors import InputError
from memo2list.records import Flag, Recording, StretchFlag, Transcript, Turn, Word, WordRange
from memo2list.timing import TimeSpan
from memo2list.transcript_json import transcript_from_json, transcript_to_json

text = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)


@st.composite
def transcripts(draw):
    starts = sorted(draw(st.lists(st.integers(0, 10_000_000), max_size=12)))
    words = tuple(Word(draw(text), TimeSpan(s, s + draw(st.integers(0, 900))), draw(st.floats(0, 1))) for s in starts)
    cut = draw(st.integers(0, len(words)))
    ranges = [WordRange(0, cut), WordRange(cut, len(words))]
    turns = tuple(Turn(r, draw(st.none() | text)) for r in ranges)
    doubts = (StretchFlag(WordRange(0, cut), Flag(draw(text), draw(text)), draw(text)),)
    recording = Recording(
        draw(text), "ab" * 32, draw(st.integers(0, 10**8)), draw(text), draw(st.sampled_from(["sound", "video"]))
    )
    return Transcript(recording, words, turns, doubts)


@given(transcripts())
def test_a_transcript_comes_back_equal(transcript):
    assert transcript_from_json(transcript_to_json(transcript)) == transcript


@pytest.mark.parametrize(
    ("damaged", "expected"),
    [
        ("{", "is not JSON"),
        ("[]", "no transcript"),
        (json.dumps({"format": "memo2list/transcript", "version": 99}), "version 99"),
        (json.dumps({"format": "memo2list/transcript", "version": 1}), "damaged"),
    ],
)
def test_what_is_no_transcript_is_refused_by_name(damaged, expected):
    with pytest.raises(InputError, match=f"walk.json: .*{expected}"):
        transcript_from_json(damaged, "walk.json")
