"""Recording from a microphone. A stand-in for sounddevice gives a ramp of samples, so that what is kept can be checked."""

import os
import signal
import subprocess
import sys
import time
import wave
from pathlib import Path

import numpy as np
import pytest

from memo2list.command_line.live import LiveList
from memo2list.command_line.record import Session
from memo2list.hearing import hear, media
from memo2list.hearing.capture import PieceWriter
from memo2list.hearing.replay import ReplayRecogniser

ROOT = Path(__file__).parents[2]
STAND_IN = """
import threading, time
import numpy as np
class PortAudioError(Exception): pass
class default: device = (1, 1)
DEVICES = [
    {"name": "Speaker", "default_samplerate": 8000.0, "max_input_channels": 0},
    {"name": "Headset", "default_samplerate": 8000.0, "max_input_channels": 1},
    {"name": "Desk microphone", "default_samplerate": 4000.0, "max_input_channels": 2},
]
def query_devices(): return DEVICES
class InputStream:
    def __init__(self, samplerate, blocksize, device, channels, dtype, callback):
        if device == 2: raise PortAudioError("Device unavailable")
        self.size, self.give, self.on = blocksize, callback, True
    def start(self):
        self.thread = threading.Thread(target=self.run, daemon=True)
        self.thread.start()
    def run(self):
        at = 0
        while self.on:
            block = ((np.arange(at, at + self.size) % 30000)).astype(np.int16)
            self.give(block.reshape(-1, 1), self.size, None, None)
            at += self.size
            time.sleep(0.002)
    def stop(self):
        self.on = False
        self.thread.join()
    def close(self): pass
"""


@pytest.fixture
def command(tmp_path):
    """Starts `memo2list record …` as a program of its own."""

    def start(*words, stand_in=STAND_IN):
        modules = tmp_path / "modules"
        modules.mkdir(exist_ok=True)
        (modules / "sounddevice.py").write_text(stand_in)
        line = [sys.executable, "-c", "from memo2list.command_line import main; main()", "record", *words]
        paths = os.pathsep.join([str(modules), str(ROOT)])
        return subprocess.Popen(
            [*line, "--store", str(tmp_path / "store")],
            env=os.environ | {"PYTHONPATH": paths},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )

    return start


def ramp_in(file):
    with wave.open(str(file)) as sound:
        found = np.frombuffer(sound.readframes(sound.getnframes()), "<i2")
    assert np.array_equal(found, (np.arange(len(found)) % 30000).astype(np.int16))
    return len(found)


def until(condition):
    for _ in range(600):
        if condition():
            return
        time.sleep(0.05)
    pytest.fail("it did not come to that in half a minute")


def test_a_recording_holds_every_sample_and_leaves_no_pieces(command, tmp_path):
    out, err = command("-o", str(tmp_path / "walk.wav"), "--seconds", "3").communicate()
    assert ramp_in(tmp_path / "walk.wav") == 3 * 8000
    assert "0:03 recorded" in out, err
    assert list((tmp_path / "store" / "recorded").iterdir()) == []


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM])
def test_a_stop_from_outside_keeps_what_was_recorded(command, tmp_path, how):
    process = command("-o", str(tmp_path / "walk.wav"))
    until(lambda: any(p.stat().st_size for p in tmp_path.glob("store/recorded/*/piece-*.pcm")))
    process.send_signal(how)
    _, err = process.communicate()
    assert process.returncode == 0, err
    assert ramp_in(tmp_path / "walk.wav") > 0


def test_a_killed_recording_is_put_together_by_the_next_one(command, tmp_path):
    process = command()
    until(lambda: any(p.stat().st_size >= 16_000 for p in tmp_path.glob("store/recorded/*/piece-*.pcm")))
    process.kill()
    process.communicate()
    long_ago = time.time() - 60
    for path in tmp_path.glob("store/recorded/*/*"):
        os.utime(path, (long_ago, long_ago))
    _, err = command("-o", str(tmp_path / "next.wav"), "--seconds", "1").communicate()
    assert "was cut off earlier" in err
    (saved,) = tmp_path.glob("store/recorded/*.wav")
    assert ramp_in(saved) >= 8000


def test_an_existing_file_is_refused_before_anything_is_said_into_it(command, tmp_path):
    (tmp_path / "walk.wav").write_text("mine")
    process = command("-o", str(tmp_path / "walk.wav"), "--seconds", "1")
    _, err = process.communicate()
    assert process.returncode == 1
    assert "is there already" in err
    assert (tmp_path / "walk.wav").read_text() == "mine"


@pytest.mark.parametrize(
    ("words", "stand_in", "told"),
    [
        ([], "raise ImportError", "pip install 'memo2list[record]'"),
        ([], "raise OSError('PortAudio library not found')", "needs the PortAudio library"),
        ([], STAND_IN.replace('"max_input_channels": 1', '"max_input_channels": 0').replace(": 2}", ": 0}"), "No microphone"),
        (["--device", "piano"], STAND_IN, "There are: 1 Headset, 2 Desk microphone"),
        (["--device", "desk"], STAND_IN, "Desk microphone: cannot be recorded from (Device unavailable)"),
    ],
    ids=["no sounddevice", "no PortAudio", "no microphone", "unknown device", "device in use"],
)
def test_what_is_missing_is_said_in_one_line(command, words, stand_in, told):
    process = command(*words, "--seconds", "1", stand_in=stand_in)
    _, err = process.communicate()
    assert process.returncode == 1
    assert told in err.splitlines()[-1]
    assert "Traceback" not in err


def test_devices_shows_what_can_be_recorded_from(command):
    out, _ = command("--devices").communicate()
    assert out.splitlines() == ["1\tHeadset\t8000", "2\tDesk microphone\t4000"]


@pytest.fixture
def session(tmp_path):
    said = []
    session = Session(PieceWriter(tmp_path / "pieces", 1000), said.append)
    session.said = said
    yield session
    session.writer.close()


def test_silence_and_clipping_are_told_and_not_over_and_over(session):
    for _ in range(100):
        session.take(np.zeros(100, np.int16))
    for _ in range(30):
        session.take(np.full(100, 32767, np.int16))
    assert [text.split(".")[0] for text in session.said] == ["Nothing is heard", "Too loud: the sound is clipped"]


def test_a_pause_leaves_out_what_is_said_meanwhile(session):
    session.take(np.ones(100, np.int16))
    assert not session.key("p")
    session.take(np.ones(100, np.int16))
    assert session.seconds == 0.1
    session.key("p")
    session.take(np.ones(100, np.int16))
    assert session.seconds == 0.2
    assert session.key("q")


def test_the_live_list_grows_piece_by_piece_and_hears_what_waits_in_one_go(tmp_path):
    demo = ROOT / "demo_audio"
    writer = PieceWriter(tmp_path / "pieces", 16000)
    sound = (next(iter(media.sound(demo / "walk.opus"))) * 32767).astype(np.int16)
    lines = []
    live = LiveList(writer, "base", lines.append, ReplayRecogniser(hear(demo / "heard.json").words))
    live._prepare()
    live.catch_up()
    assert lines == []
    for start in range(0, len(sound), 1600):
        writer.write(sound[start : start + 1600])
    writer.close()
    assert len(writer.finished) >= 2
    live.catch_up()
    assert live._heard == len(writer.finished)
    assert any(line.startswith("+ ") and ": rot" in line for line in lines)
    count = len(lines)
    live.catch_up()
    assert len(lines) == count


def test_the_live_list_tells_what_was_taken_back_and_asked():
    from memo2list.command_line.live import told_lines
    from memo2list.records import Flag, OfficeQuestion, PunchList, SetAside

    found = PunchList(
        (),
        (),
        (SetAside("taken back", "gutter", (), (), ()), SetAside("negated", "soffit", (), (), ())),
        (Flag("strike-unclear", "nothing was listed just before it"),),
        (OfficeQuestion("Who made it?", ()),),
    )
    assert told_lines(found) == ["- taken back: gutter", "For the office: Who made it?", "! nothing was listed just before it"]
