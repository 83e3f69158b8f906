"""Recording from a virtual microphone that is fed with the demo walkthrough: real PortAudio, real sound server.

Needs a running PulseAudio (`pactl info` answers), `paplay` and sounddevice; skipped elsewhere.
"""

import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest

from memo2list.hearing import hear, media

DEMO = Path(__file__).parents[2] / "demo_audio"
SINK = "memo2list_test"


def sound_server_answers():
    return bool(shutil.which("paplay")) and subprocess.run(["pactl", "info"], capture_output=True).returncode == 0


@pytest.fixture
def virtual_microphone():
    pytest.importorskip("sounddevice")
    if not sound_server_answers():
        pytest.skip("no PulseAudio answers here")
    load = ["pactl", "load-module", "module-null-sink", f"sink_name={SINK}"]
    module = subprocess.run(load, capture_output=True, text=True, check=True).stdout.strip()
    yield os.environ | {"PULSE_SOURCE": f"{SINK}.monitor"}
    subprocess.run(["pactl", "unload-module", module], check=True)


def paplayable(folder):
    """The first twenty seconds of the demo as WAV, which every paplay can play."""
    import wave

    sound = (next(iter(media.sound(DEMO / "walk.opus")))[: 20 * media.RATE] * 32767).astype("<i2")
    with wave.open(str(folder / "talk.wav"), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(media.RATE)
        out.writeframes(sound.tobytes())
    return folder / "talk.wav"


@pytest.mark.soak
@pytest.mark.model
def test_what_is_played_to_the_microphone_is_recorded_and_understood(virtual_microphone, tmp_path):
    talk = paplayable(tmp_path)
    command = [sys.executable, "-c", "from memo2list.command_line import main; main()", "record", "--device", "pulse"]
    target = tmp_path / "walk.wav"
    recording = subprocess.Popen(
        [*command, "-o", str(target), "--seconds", "22", "--store", str(tmp_path / "store")], env=virtual_microphone
    )
    time.sleep(0.5)
    subprocess.run(["paplay", f"--device={SINK}", str(talk)], check=True)
    assert recording.wait() == 0
    heard = hear(target)
    assert "rotten" in heard.quote(heard.turns[0].words)
    assert np.concatenate(list(media.sound(target))).max() > 0.1
