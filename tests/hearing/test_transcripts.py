"""Transcripts in the formats people have give the words, their times and who said them."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memo2list.errors import InputError
from memo2list.hearing.transcripts import Cue, read_transcript, spread_words, text_kind
from memo2list.records import Recording, Transcript, Turn, Word, WordRange
from memo2list.timing import TimeSpan
from memo2list.transcript_json import transcript_to_json

VTT = """WEBVTT - a walk
Kind: captions

STYLE
::cue { color: lime }

NOTE the owner speaks
in two lines

intro
00:01.000 --> 00:03.000 align:start
<v Ann>The <b>soffit</b> &amp; fascia

00:00:03.000 --> 00:00:05.000
<v.loud Bob>No rot here.
"""


def read(text):
    return read_transcript(text, "walk", "00" * 32)


def texts(transcript):
    return [w.text for w in transcript.words]


def speakers(transcript):
    return [t.speaker for t in transcript.turns]


def test_webvtt_voices_become_speakers_and_markup_goes():
    walk = read(VTT)
    assert texts(walk) == ["The", "soffit", "&", "fascia", "No", "rot", "here."]
    assert speakers(walk) == ["Ann", "Bob"]


def test_webvtt_words_share_the_time_of_their_cue():
    walk = read(VTT)
    assert walk.words[0].span.start_ms == 1000
    assert walk.words[3].span.end_ms == 3000
    assert walk.recording.duration_ms == 5000


def test_two_voices_in_one_cue_are_two_turns():
    walk = read("WEBVTT\n\n00:00.000 --> 00:04.000\n<v A>Is it rot?</v> <v B>No it's dry</v>\n")
    assert speakers(walk) == ["A", "B"]
    assert walk.words[3].span.start_ms > walk.words[2].span.start_ms >= 0


def test_inner_times_of_webvtt_are_used():
    walk = read("WEBVTT\n\n00:00.000 --> 00:04.000\nthe <00:01.500>deck <00:03.000>rail\n")
    assert [w.span.start_ms for w in walk.words] == [0, 1500, 3000]


def test_srt_with_speaker_labels():
    walk = read("1\r\n00:00:01,000 --> 00:00:02,500\r\nA: Gutter leaks\r\n\r\n2\r\n00:00:03,000 --> 00:00:04,000\r\nB: Noted\r\n")
    assert texts(walk) == ["Gutter", "leaks", "Noted"]
    assert speakers(walk) == ["A", "B"]
    assert walk.words[0].span.start_ms == 1000


def test_a_label_seen_once_is_no_speaker():
    assert texts(read("[0:01] Note: the gate sticks\n"))[0] == "Note:"


def test_stamped_text_takes_each_line_until_the_next():
    walk = read("[0:05] front door sticks\nand rubs\n[1:00] Owner: fix it\n[1:30 - 1:32] Owner: soon\n")
    assert texts(walk) == ["front", "door", "sticks", "and", "rubs", "fix", "it", "soon"]
    assert speakers(walk) == [None, "Owner"]
    assert walk.words[5].span.start_ms == 60_000
    assert walk.words[7].span == TimeSpan(90_000, 92_000)


def test_our_own_json_comes_back_as_it_was():
    own = Transcript(
        Recording("walk.m4a", "ab" * 32, 900, "whisper base int8"),
        (Word("rot", TimeSpan(1, 9), 0.5),),
        (Turn(WordRange(0, 1), "A"),),
    )
    assert read(transcript_to_json(own)) == own


def test_text_without_times_is_refused_with_a_way_out():
    with pytest.raises(InputError, match=r"\[1:05\]"):
        read("just some words")


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("\ufeffWEBVTT\n", "webvtt"),
        ('{"a": 1}', "json"),
        ("1\n0:00:01,0 --> 0:00:02,0\nx", "srt"),
        ("[0:01] x", "stamped"),
        ("x", None),
    ],
)
def test_the_kind_is_told_by_content(text, kind):
    assert text_kind(text) == kind


said = st.lists(st.text(st.characters(categories=["L", "N"]), min_size=1, max_size=12), min_size=1, max_size=20)


@given(said, st.integers(0, 10**7), st.integers(0, 60_000))
def test_spread_words_are_in_order_and_fill_their_cue(words, start, length):
    spread = spread_words(Cue(TimeSpan(start, start + length), " ".join(words)))
    assert [w.text for w in spread] == words
    assert spread[0].span.start_ms == start
    assert spread[-1].span.end_ms == start + length
    assert all(a.span.end_ms == b.span.start_ms for a, b in itertools.pairwise(spread))


@given(said)
def test_whatever_is_written_as_webvtt_is_read_back(words):
    walk = read("WEBVTT\n\n00:00.000 --> 00:09.000\n<v A>" + " ".join(words) + "\n")
    assert texts(walk) == words
