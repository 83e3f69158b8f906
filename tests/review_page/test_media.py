"""Sound, captions, levels and what the page shows of the walk."""

import io
import itertools

import webvtt

from memo2list.review_page import media
from memo2list.review_page.view_models import doubt_of, line_view, pieces, sections
from tests.review_page.conftest import FOUR, JOB, RECORDING, SHA, quote, transcript


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
    assert [(s.name, [line.item.number for line in s.lines]) for s in sections(lines)] == [
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


def film(path):
    """Two seconds of video, grey becoming white, as Matroska with MPEG-4 pictures."""
    import av
    import numpy as np

    with av.open(str(path), "w") as out:
        stream = out.add_stream("mpeg4", rate=10)
        stream.width, stream.height, stream.pix_fmt = 64, 48, "yuv420p"
        for n in range(20):
            picture = np.full((48, 64, 3), 60 + 10 * n, dtype=np.uint8)
            for packet in stream.encode(av.VideoFrame.from_ndarray(picture, format="rgb24")):
                out.mux(packet)
        for packet in stream.encode(None):
            out.mux(packet)


def brightness(jpeg):
    from PIL import Image

    with Image.open(io.BytesIO(jpeg)) as picture:
        return sum(picture.convert("L").tobytes()) / (picture.width * picture.height)


def test_a_frame_of_a_video_can_be_looked_at_later_and_kept(client, desk, store, tmp_path):
    import dataclasses
    import hashlib

    path = tmp_path / "walk.mkv"
    film(path)
    sha = hashlib.sha256(path.read_bytes()).hexdigest()
    filmed = dataclasses.replace(RECORDING, name="walk.mkv", sha256=sha, duration_ms=2000, kind="video")
    store.keep_recording(JOB, path, dataclasses.replace(transcript(), recording=filmed))
    early, late = (client.get(f"/frame/{sha}/{at}.jpg").content for at in (100, 1500))
    assert brightness(late) > brightness(early) + 50
    client.post("/change", data={"do": "frame", "key": "k1", "recording": sha, "at_ms": "1500"})
    kept = store.pictures(JOB)
    assert [p.key for p in kept] == ["k1"]
    assert abs(brightness(kept[0].file.read_bytes()) - brightness(late)) < 5
