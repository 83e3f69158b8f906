"""Sound, captions, levels and what the page shows of the walk."""

import io
import itertools

import webvtt

from memo2list.review_page import media
from memo2list.review_page.view_models import doubt_of, line_view, pieces, stretches
from tests.review_page.conftest import FOUR, RECORDING, SHA, quote, transcript


def test_captions_are_webvtt_that_a_reader_of_webvtt_takes():
    cues = webvtt.from_buffer(io.StringIO(media.captions(transcript())))
    assert " ".join(c.text for c in cues).split()[:6] == "okay front porch the fascia is".split()
    assert all(a.end_in_seconds <= b.start_in_seconds for a, b in itertools.pairwise(cues))


def test_markup_in_the_talk_is_text_in_captions():
    assert "<b>" not in media.captions(transcript()).replace("<v ", "")


def test_the_level_strip_of_a_steady_tone_is_level(client, desk):
    heights = media.levels(desk.kept(SHA).file)
    assert min(heights[5:-5]) > 0.8
    assert client.get(f"/levels/{SHA}.svg").headers["content-type"].startswith("image/svg+xml")


def test_the_words_that_matched_are_marked():
    assert pieces(quote(3, 7, (4, 5), (6, 7))) == (("the", False), ("fascia", True), ("is", False), ("rotten", True))


def test_lines_stand_under_their_place_in_walking_order():
    lines = [line_view(i, {SHA: RECORDING}) for i in FOUR]
    assert [(s.name, [line.item.number for line in s.lines]) for s in stretches(lines)] == [
        ("Front porch", [1, 2]),
        ("Back", [3, 4]),
    ]


def test_a_flag_makes_a_line_doubtful_and_keeping_it_settles_it():
    import dataclasses

    assert doubt_of(FOUR[2]) == 2
    assert doubt_of(dataclasses.replace(FOUR[2], review="kept")) == 0


def test_a_quote_names_its_media_fragment():
    assert line_view(FOUR[0], {SHA: RECORDING}).quotes[0].fragment == "t=1.2,3.95"


def test_a_recording_without_pictures_has_no_frame(client):
    assert client.get(f"/frame/{SHA}/1000.jpg").status_code == 404
