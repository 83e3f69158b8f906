"""When a recording began is told from its file."""

import datetime
import os

import av
import numpy as np
import pytest

from memo2list.hearing.capture_times import start_of, tags_of
from memo2list.records import Recording
from tests.hearing.make_media import tone, write_media

NOON = round(datetime.datetime(2025, 3, 1, 12, tzinfo=datetime.UTC).timestamp() * 1000)
MINUTE = 60_000


def recording(duration_ms=10 * MINUTE, kind="sound"):
    return Recording("walk", "0" * 64, duration_ms, "test", kind)


def written(path, at_ms):
    os.utime(path, ns=(at_ms * 1_000_000, at_ms * 1_000_000))
    return path


def tagged(path, **tags):
    with av.open(str(path), "w", options={"movflags": "use_metadata_tags"}) as container:
        stream = container.add_stream("aac", rate=16_000, layout="mono")
        container.metadata.update(tags)
        frame = av.AudioFrame.from_ndarray((tone(1) * 20_000).astype(np.int16).reshape(1, -1), format="s16", layout="mono")
        frame.rate = 16_000
        resampler = av.AudioResampler(format=stream.codec_context.format, layout="mono", rate=16_000, frame_size=1024)
        for piece in (*resampler.resample(frame), *resampler.resample(None)):
            container.mux(stream.encode(piece))
        container.mux(stream.encode())
    return path


def test_without_metadata_it_began_its_length_before_the_file_was_last_written(tmp_path):
    file = written(write_media(tmp_path / "walk.wav", tone(1)), NOON)
    found = start_of(file, recording())
    assert found.at_ms == NOON - 10 * MINUTE
    assert "last written" in found.by


def test_the_time_of_creation_counts_where_the_file_was_copied_later(tmp_path):
    file = written(tagged(tmp_path / "walk.m4a", creation_time="2025-03-01T12:00:00Z"), NOON + 500 * MINUTE)
    assert start_of(file, recording()).at_ms == NOON


def test_a_time_of_creation_that_is_the_time_of_writing_is_the_end(tmp_path):
    file = written(tagged(tmp_path / "walk.m4a", creation_time="2025-03-01T12:00:00Z"), NOON + 1000)
    assert start_of(file, recording()).at_ms == NOON - 10 * MINUTE


def test_the_start_with_its_time_zone_goes_before(tmp_path):
    key = "com.apple.quicktime.creationdate"
    file = tagged(tmp_path / "walk.mov", **{key: "2025-03-01T13:00:00+0100", "creation_time": "2025-03-01T20:00:00Z"})
    assert tags_of(file).get(key), "the test's own file lacks the tag"
    assert start_of(written(file, NOON), recording()).at_ms == NOON


@pytest.mark.parametrize("tag", ["1904-01-01T00:00:00Z", "yesterday", "2025", "9999999-01-01"])
def test_a_date_that_is_none_is_passed_over(tmp_path, tag):
    file = written(tagged(tmp_path / "walk.m4a", date=tag), NOON)
    assert start_of(file, recording()).at_ms == NOON - 10 * MINUTE


def test_a_transcript_has_no_start(tmp_path):
    file = tmp_path / "walk.vtt"
    file.write_text("WEBVTT\n")
    assert start_of(file, recording(kind="transcript")) is None
