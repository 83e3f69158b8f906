"""One file in, one transcript out, whatever the file is and however often the run is interrupted."""

import os
import pathlib
import subprocess
import sys
import time

import numpy as np
import pytest

from memo2list.errors import InputError
from memo2list.hearing import chunks, ears, hear, hear_each
from memo2list.hearing.recogniser import Stretch
from memo2list.hearing.replay import ReplayRecogniser
from memo2list.records import Word
from memo2list.timing import TimeSpan
from tests.hearing.make_media import tone, write_media

ROOT = pathlib.Path(__file__).parents[2]
WORDS = [Word(f"word{n}", TimeSpan(n * 1000 + 100, n * 1000 + 600), 0.9) for n in range(60)]


@pytest.fixture
def voice_everywhere(monkeypatch):
    """Stands in for the voice detector: ten-second stretches, all of them voice."""

    def cut(samples, offset=0):
        found = []
        for start in range(0, len(samples), 160_000):
            part = samples[start : start + 160_000]
            span = TimeSpan((offset + start) // 16, (offset + start + len(part)) // 16)
            found.append(Stretch(span, part, ()))
        return found

    monkeypatch.setattr(ears, "cut", cut)
    hear_module = sys.modules["memo2list.hearing.hear"]  # the name hear in the package is the function
    monkeypatch.setattr(hear_module, "CHUNK_S", 20)
    monkeypatch.setattr(hear_module, "last_pause", lambda samples, earliest: 20 * 16_000)
    return hear_module


@pytest.fixture
def minute(tmp_path):
    return write_media(tmp_path / "walk.wav", tone(60.0))


def test_a_long_recording_is_heard_in_chunks_and_joined(voice_everywhere, minute):
    transcript = hear(minute, recogniser=ReplayRecogniser(WORDS))
    assert transcript.words == tuple(WORDS)
    assert transcript.recording.duration_ms == 60_000
    assert transcript.recording.recogniser == "replay"
    assert transcript.recording.kind == "sound"


class DiesLater(ReplayRecogniser):
    """Is killed at its fifth stretch."""

    heard = 0

    def hear(self, stretches):
        self.heard += 1
        if self.heard == 5:
            raise KeyboardInterrupt
        return super().hear(stretches)


def test_an_interrupted_run_goes_on_after_the_last_finished_chunk(voice_everywhere, minute, tmp_path):
    with pytest.raises(KeyboardInterrupt):
        hear(minute, recogniser=DiesLater(WORDS), work_folder=tmp_path / "work")
    assert len(list((tmp_path / "work").glob("*.json"))) == 2

    counting = DiesLater(WORDS)
    assert hear(minute, recogniser=counting, work_folder=tmp_path / "work").words == tuple(WORDS)
    assert counting.heard == 2  # two stretches of the last chunk, not six
    assert not list((tmp_path / "work").iterdir())


def test_a_damaged_chunk_is_heard_again(voice_everywhere, minute, tmp_path):
    with pytest.raises(KeyboardInterrupt):
        hear(minute, recogniser=DiesLater(WORDS), work_folder=tmp_path / "work")
    for kept in (tmp_path / "work").glob("*.json"):
        kept.write_text(kept.read_text()[:50])
    assert hear(minute, recogniser=ReplayRecogniser(WORDS), work_folder=tmp_path / "work").words == tuple(WORDS)


def test_chunks_of_another_recording_are_not_taken(voice_everywhere, minute, tmp_path):
    with pytest.raises(KeyboardInterrupt):
        hear(minute, recogniser=DiesLater(WORDS), work_folder=tmp_path / "work")
    other = write_media(tmp_path / "other.wav", tone(30.0, pitch=300))
    assert len(hear(other, recogniser=ReplayRecogniser(WORDS), work_folder=tmp_path / "work").words) == 30


def test_progress_ends_at_the_end_and_never_runs_backward(voice_everywhere, minute):
    seen = []
    hear(minute, recogniser=ReplayRecogniser(WORDS), progress=seen.append)
    done = [p.done_ms for p in seen]
    assert done == sorted(done)
    assert done[-1] == seen[-1].total_ms == 60_000
    assert seen[-1].left_s == 0


def test_a_silent_recording_has_no_words_and_says_so(tmp_path):
    path = write_media(tmp_path / "silent.wav", np.zeros(16_000 * 20, np.float32))
    transcript = hear(path, recogniser=ReplayRecogniser(WORDS))
    assert transcript.words == ()
    assert [d.flag.code for d in transcript.doubts] == ["silent"]


def test_text_renamed_to_sound_is_named_as_text(tmp_path):
    path = tmp_path / "notes.wav"
    path.write_text("call the plumber on Monday\n")
    with pytest.raises(InputError, match=r"notes\.wav: holds text, although its name ends in \.wav"):
        hear(path)


def test_a_transcript_is_read_whatever_its_name(tmp_path):
    path = tmp_path / "talk.txt"
    path.write_text("WEBVTT\n\n00:00.000 --> 00:02.000\n<v A>The gate sticks\n", encoding="utf-16")
    transcript = hear(path)
    assert transcript.quote(transcript.turns[0].words) == "The gate sticks"
    assert transcript.recording.kind == "transcript"


@pytest.mark.parametrize("name", ["no such file", "empty", "folder"])
def test_what_is_no_file_is_said(tmp_path, name):
    (tmp_path / "empty").write_bytes(b"")
    (tmp_path / "folder").mkdir()
    with pytest.raises(InputError):
        hear(tmp_path / name)


def test_kept_chunks_come_back_equal(tmp_path):
    kept = chunks.KeptChunks(tmp_path, "id")
    chunk = chunks.Chunk(0, 160_000, tuple(WORDS[:3]))
    kept.write(0, chunk)
    assert kept.read(0) == chunk
    assert kept.read(1) is None


def test_several_files_keep_their_order_and_a_bad_one_is_a_problem(voice_everywhere, minute, tmp_path):
    (tmp_path / "empty.wav").write_bytes(b"")
    heard = list(hear_each([minute, tmp_path / "empty.wav", minute], recogniser=ReplayRecogniser(WORDS)))
    assert [path.name for path, _ in heard] == ["walk.wav", "empty.wav", "walk.wav"]
    assert "is empty" in str(heard[1][1])
    assert heard[0][1] == heard[2][1]


KILLED = """
import os, signal, sys
from pathlib import Path
from memo2list.hearing import ears, hear
from memo2list.hearing.recogniser import Stretch
from memo2list.hearing.replay import ReplayRecogniser
from memo2list.timing import TimeSpan
def cut(samples, offset=0):
    starts = range(0, len(samples), 160_000)
    return [Stretch(TimeSpan((offset + n) // 16, (offset + n) // 16 + 10_000), samples[n : n + 160_000]) for n in starts]
ears.cut = cut
module = sys.modules["memo2list.hearing.hear"]
module.CHUNK_S, module.last_pause = 20, lambda samples, earliest: 320_000
class Killed(ReplayRecogniser):
    heard = 0
    def hear(self, stretches):
        self.heard += 1
        if self.heard == 5:
            os.kill(os.getpid(), signal.SIGKILL)
        return super().hear(stretches)
hear(Path(sys.argv[1]), recogniser=Killed(()), work_folder=Path(sys.argv[2]), bias=False)
"""


def test_a_killed_run_keeps_every_finished_chunk(voice_everywhere, minute, tmp_path):
    run = subprocess.run([sys.executable, "-c", KILLED, str(minute), str(tmp_path / "work")], capture_output=True, cwd=ROOT)
    assert run.returncode == -9
    assert len(list((tmp_path / "work").glob("[!.]*.json"))) == 2
    counting = DiesLater(())
    hear(minute, recogniser=counting, work_folder=tmp_path / "work", bias=False)
    assert counting.heard == 2


def test_chunks_nobody_went_on_with_are_forgotten_after_a_month(tmp_path):
    kept = chunks.KeptChunks(tmp_path, "id")
    for number, age in enumerate((0, 31 * 86_400)):
        kept.write(number, chunks.Chunk(0, 160_000, ()))
        os.utime(kept.path(number), (time.time() - age,) * 2)
    other = tmp_path / "my list of last year.json"
    other.write_text("{}")
    os.utime(other, (time.time() - 400 * 86_400,) * 2)
    kept.sweep()
    assert kept.read(0) is not None
    assert kept.read(1) is None
    assert other.exists()


def test_commands_keep_unfinished_chunks_beside_the_weights(tmp_path, monkeypatch):
    monkeypatch.setenv("MEMO2LIST_CACHE", str(tmp_path))
    assert chunks.unfinished_folder() == tmp_path / "unfinished"
