"""A recording while it is made is safe on disk, and put together afterwards."""

import os
import signal
import subprocess
import sys
import time
import wave

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from memo2list.errors import InputError
from memo2list.hearing import capture

RATE = 1000
RAMP = """
import sys, time, pathlib
import numpy as np
from memo2list.hearing.capture import PieceWriter
writer = PieceWriter(pathlib.Path(sys.argv[1]), 1000)
for n in range(10_000):
    writer.write(np.full(500, n, np.int16))
    if n == 120:
        print("enough", flush=True)
    time.sleep(0.0005 if n < 120 else 0.01)
"""


def loud(seconds):
    return (8000 * np.sin(np.arange(int(seconds * RATE)) / 3)).astype(np.int16)


def samples_of(file):
    with wave.open(str(file)) as sound:
        assert (sound.getnchannels(), sound.getsampwidth()) == (1, 2)
        return np.frombuffer(sound.readframes(sound.getnframes()), "<i2")


def recorded(folder, blocks):
    writer = capture.PieceWriter(folder, RATE)
    for block in blocks:
        writer.write(block)
    writer.close()
    return writer


@given(lengths=st.lists(st.integers(0, 40_000), min_size=1, max_size=8).filter(sum))
def test_what_is_joined_is_what_was_written(tmp_path_factory, lengths):
    folder = tmp_path_factory.mktemp("any")
    blocks = [np.arange(n).astype(np.int16) for n in lengths]
    recorded(folder / "pieces", blocks)
    duration = capture.join(folder / "pieces", folder / "whole.wav")
    assert np.array_equal(samples_of(folder / "whole.wav"), np.concatenate(blocks))
    assert duration == round(sum(lengths) * 1000 / RATE)


def test_a_piece_ends_in_a_pause_and_in_endless_talk_at_the_latest(tmp_path):
    with_pause = recorded(tmp_path / "a", [loud(1)] * 16 + [np.zeros(RATE // 10, np.int16)] + [loud(1)] * 3)
    assert [p.stat().st_size // 2 for p in with_pause.finished] == [16_100, 3_000]
    without = recorded(tmp_path / "b", [loud(1)] * 30)
    assert [p.stat().st_size // 2 for p in without.finished] == [25_000, 5_000]


def test_a_killed_recording_can_be_put_together_up_to_the_last_second(tmp_path):
    """SIGKILL, as from a crash: nothing is flushed or closed by the program."""
    process = subprocess.Popen([sys.executable, "-c", RAMP, str(tmp_path / "pieces")], stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    assert process.stdout.readline() == "enough\n"
    process.send_signal(signal.SIGKILL)
    process.wait()
    process.stdout.close()
    assert capture.unfinished(tmp_path, idle_s=0) == (tmp_path / "pieces",)
    capture.join(tmp_path / "pieces", tmp_path / "whole.wav")
    heard = samples_of(tmp_path / "whole.wav")
    assert len(heard) >= 120 * 500 - RATE
    assert np.array_equal(heard, np.repeat(np.arange(len(heard) // 500 + 1), 500)[: len(heard)].astype(np.int16))


def test_half_a_sample_at_the_end_of_a_broken_piece_is_left_out(tmp_path):
    writer = recorded(tmp_path / "pieces", [loud(1)])
    with writer.finished[0].open("ab") as piece:
        piece.write(b"\x07")
    capture.join(tmp_path / "pieces", tmp_path / "whole.wav")
    assert np.array_equal(samples_of(tmp_path / "whole.wav"), loud(1))


def test_joining_never_replaces_a_file(tmp_path):
    recorded(tmp_path / "pieces", [loud(1)])
    (tmp_path / "whole.wav").write_text("mine")
    with pytest.raises(InputError, match="is there already"):
        capture.join(tmp_path / "pieces", tmp_path / "whole.wav")
    assert (tmp_path / "whole.wav").read_text() == "mine"


def test_nothing_recorded_is_said(tmp_path):
    recorded(tmp_path / "pieces", [])
    with pytest.raises(InputError, match="no recorded sound"):
        capture.join(tmp_path / "pieces", tmp_path / "whole.wav")


def test_a_recording_still_being_made_is_not_taken_for_a_stopped_one(tmp_path):
    writer = recorded(tmp_path / "pieces", [loud(1)])
    assert capture.unfinished(tmp_path) == ()
    long_ago = time.time() - 60
    for path in writer.folder.iterdir():
        os.utime(path, (long_ago, long_ago))
    assert capture.unfinished(tmp_path) == (writer.folder,)
    writer.still_here()
    assert capture.unfinished(tmp_path) == ()


def test_levels_tell_silence_talk_and_clipping():
    assert capture.level(np.zeros(100, np.int16)).peak_db == -np.inf
    assert -13 < capture.level(loud(1)).peak_db < -12
    assert not capture.level(loud(1)).clipped
    assert capture.level(np.full(100, -32768, np.int16)).clipped
    assert capture.level(np.zeros(0, np.int16)).mean_db == -np.inf


def test_a_recording_joined_later_still_says_when_it_ended(tmp_path):
    writer = capture.PieceWriter(tmp_path / "pieces", 16_000)
    writer.write(np.ones(16_000, np.int16))
    writer.close()
    for piece in capture.pieces(writer.folder):
        os.utime(piece, (1_740_817_800, 1_740_817_800))
    capture.join(writer.folder, tmp_path / "walk.wav")
    assert (tmp_path / "walk.wav").stat().st_mtime == 1_740_817_800
