"""Sound comes out of every container people record with; what cannot be used is said in one line."""

import io

import numpy as np
import pytest

from memo2list.errors import InputError
from memo2list.hearing import media
from tests.hearing.make_media import tone, write_media

SOUND_FILES = [
    ("a.wav", "pcm_s16le"),
    ("a.flac", "flac"),
    ("a.mp3", "mp3"),
    ("a.m4a", "aac"),
    ("a.ogg", "libopus"),
    ("a.mkv", "aac"),
]


@pytest.mark.parametrize(("name", "codec"), SOUND_FILES)
def test_sound_files_are_decoded_at_16_khz(tmp_path, name, codec):
    rate = 48_000 if codec == "libopus" else 44_100 if codec in ("mp3", "aac") else 16_000
    path = write_media(tmp_path / name, tone(2.0), codec, rate=rate)
    samples = np.concatenate(list(media.sound(path)))
    assert abs(len(samples) - 32_000) < 2_400
    assert np.std(samples) > 0.1


@pytest.mark.parametrize("name", ["a.mp4", "a.mov"])
def test_video_files_give_their_sound_and_say_that_they_are_video(tmp_path, name):
    path = write_media(tmp_path / name, tone(1.0), "aac", pictures=10, rate=44_100)
    assert media.probe(path).kind == "video"
    assert sum(map(len, media.sound(path))) > 12_000


def test_a_video_without_sound_is_refused(tmp_path):
    path = write_media(tmp_path / "mute.mp4", None, pictures=5)
    with pytest.raises(InputError, match=r"mute\.mp4: has pictures but no sound"):
        media.probe(path)


def test_a_still_shows_the_picture_of_that_moment(tmp_path):
    from PIL import Image

    path = write_media(tmp_path / "a.mp4", tone(1.0), "aac", pictures=20, rate=44_100)
    early, late = (np.asarray(Image.open(io.BytesIO(media.still(path, ms)))).mean() for ms in (100, 1900))
    assert late > early + 80


def test_a_sound_file_has_no_still(tmp_path):
    assert media.still(write_media(tmp_path / "a.wav", tone(0.5)), 0) is None


def test_blocks_join_to_the_whole_sound(tmp_path):
    path = write_media(tmp_path / "a.wav", tone(5.0))
    blocks = list(media.sound(path, block_seconds=1))
    assert len(blocks) >= 5
    assert np.array_equal(np.concatenate(blocks), np.concatenate(list(media.sound(path))))


@pytest.mark.parametrize(("name", "codec"), [("a.m4a", "aac"), ("a.mkv", "aac"), ("a.ogg", "libopus"), ("a.webm", "libopus")])
def test_a_pause_that_the_file_tells_is_silence_so_that_times_after_it_are_those_of_the_clock(tmp_path, name, codec):
    """Two seconds of sound, nothing for a minute, three seconds more: as players have it."""
    path = write_media(tmp_path / name, tone(5.0), codec, rate=48_000, pause=(2, 60))
    samples = np.concatenate(list(media.sound(path)))
    assert abs(len(samples) - 65 * 16_000) < 3_000
    assert abs(len(samples) / 16 - media.probe(path).duration_ms) < 200
    loud = [round(float(np.abs(samples[s * 16_000 : (s + 1) * 16_000]).max()), 1) for s in (1, 10, 40, 60, 63)]
    assert loud == [0.3, 0.0, 0.0, 0.0, 0.3]


def test_a_time_stamp_gone_wild_is_no_pause_of_days(tmp_path):
    path = write_media(tmp_path / "a.mkv", tone(3.0), "aac", rate=48_000, pause=(1, 3 * 86_400))
    assert sum(map(len, media.sound(path))) < 5 * 16_000


def test_a_file_cut_short_gives_what_is_left(tmp_path):
    path = write_media(tmp_path / "a.flac", tone(5.0), "flac")
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    assert 16_000 < sum(map(len, media.sound(path))) < 5 * 16_000


@pytest.mark.parametrize(
    ("content", "said"),
    [(None, "is not there"), (b"", r"is empty \(0 bytes\)"), (b"\x00\x01garbage" * 50, "not a sound or video file")],
)
def test_what_cannot_be_used_is_said_in_one_line(tmp_path, content, said):
    path = tmp_path / "walk.wav"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(InputError, match=said) as caught:
        media.probe(path)
    assert "\n" not in str(caught.value)
