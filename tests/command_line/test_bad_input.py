"""Bad input gets one clear line, and nothing is lost."""

import json
import wave

import pytest
from click.testing import CliRunner

from memo2list.command_line import main


@pytest.fixture
def run(tmp_path):
    return lambda *words: CliRunner().invoke(main, [str(w) for w in words])


def silent_film(path):
    import av
    import numpy as np

    with av.open(str(path), "w") as container:
        stream = container.add_stream("mpeg4", rate=10)
        stream.width, stream.height = 64, 48
        for _ in range(20):
            container.mux(stream.encode(av.VideoFrame.from_ndarray(np.zeros((48, 64, 3), np.uint8), format="rgb24")))
        container.mux(stream.encode())


def silence(path, seconds=3):
    with wave.open(str(path), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(16_000)
        out.writeframes(bytes(2 * 16_000 * seconds))


def test_a_video_without_sound_is_told_in_one_line(run, tmp_path):
    silent_film(tmp_path / "walk.mp4")
    result = run("extract", tmp_path / "walk.mp4")
    assert (result.exit_code, len(result.stderr.splitlines())) == (1, 1)
    assert "sound" in result.stderr


def test_a_bad_recording_in_a_job_leaves_the_job_as_it_was(run, tmp_path):
    (tmp_path / "walk.txt").write_text("[0:01] A: We are at the front porch.\n[0:03] A: The bottom rail is rotten, replace it.\n")
    silent_film(tmp_path / "walk.mp4")
    store = ("--store", tmp_path / "store")
    run("add", "Job", tmp_path / "walk.txt", *store)
    before = run("list", "Job", "--json", *store).stdout
    assert run("add", "Job", tmp_path / "walk.mp4", *store).exit_code == 1
    assert run("list", "Job", "--json", *store).stdout == before


@pytest.mark.model
def test_a_silent_recording_gives_an_empty_list_and_a_flag(run, tmp_path):
    silence(tmp_path / "walk.wav")
    result = run("extract", tmp_path / "walk.wav")
    assert result.exit_code == 0, result.output
    made = json.loads(result.stdout)
    assert made["items"] == made["set_aside"] == []
    assert made["flags"]
