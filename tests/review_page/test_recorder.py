"""The recorder in the page, with Chromium's fake microphone fed from a file of speech: what it uploads can be heard."""

import re
import wave

import numpy as np
import pytest

from memo2list.hearing import hear
from memo2list.hearing.media import sound
from memo2list.transcript_json import transcript_from_json
from memo2list.weights import find_speech_weights
from tests.review_page.browser import ARGUMENTS, DEMO, JOB, chromium, demo_store, link, served

SECONDS = 14
LEAST = 0.8  # of the words said; tiny.en alone misses up to one in ten
MOST = 1.5  # of the words said: the recording is some seconds longer than what is counted


def weights():
    try:
        return find_speech_weights("tiny.en", None)
    except Exception:
        return None


pytestmark = [
    pytest.mark.browser,
    pytest.mark.model,
    pytest.mark.skipif(chromium() is None, reason="no chromium here: apt-get install chromium, then run these again"),
    pytest.mark.skipif(weights() is None, reason="no speech model here: memo2list models says how to get one"),
    pytest.mark.filterwarnings("ignore::DeprecationWarning"),
    pytest.mark.filterwarnings("ignore::ResourceWarning"),
    pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning"),
]


def speech(path):
    """The first seconds of the demo walk as a WAV file, and the words said in them."""
    samples = np.concatenate(list(sound(DEMO / "walk.opus")))[: SECONDS * 16_000]
    with wave.open(str(path), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(16_000)
        out.writeframes((samples * 32767).astype("<i2").tobytes())
    heard = transcript_from_json((DEMO / "heard.json").read_text(encoding="utf-8"))
    return [plain(w.text) for w in heard.words if w.span.end_ms < (SECONDS - 2) * 1000]


def plain(text):
    return re.sub(r"[^a-z']", "", text.lower())


def kept_in_order(said, heard):
    """Share of the words said that come back in that order (longest common subsequence)."""
    best = [0] * (len(heard) + 1)
    for word in said:
        before = best[:]
        for n, other in enumerate(heard, 1):
            best[n] = before[n - 1] + 1 if word == other else max(before[n], best[n - 1])
    return best[-1] / len(said)


@pytest.fixture
def page(tmp_path):
    from playwright.sync_api import sync_playwright

    said = speech(tmp_path / "speech.wav")
    fake = ["--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream"]
    file = f"--use-file-for-fake-audio-capture={tmp_path / 'speech.wav'}%noloop"
    with demo_store(tmp_path / "store") as store, served(store, tmp_path) as desk, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=[*ARGUMENTS, *fake, file])
        opened = browser.new_page()
        opened.goto(link(desk))
        opened.wait_for_url("**/")
        opened.goto(opened.url.split("#")[0].rstrip("/") + "/send")
        yield opened, store, said
        browser.close()


def test_what_is_said_into_the_page_comes_back_as_words(page):
    opened, store, said = page
    opened.click("#record")
    opened.wait_for_function(f"() => document.getElementById('recording-time').textContent >= '0:{SECONDS}'", timeout=40_000)
    opened.click("#record")
    opened.wait_for_function("() => /heard; |could not/.test(document.getElementById('way').textContent)", timeout=120_000)
    sent = store.recordings(JOB)[-1]
    assert sent.recording.name.endswith(".webm")
    heard = [plain(w.text) for w in hear(sent.file, model="tiny.en").words]
    assert kept_in_order(said, heard) >= LEAST, " ".join(heard)
    assert len(heard) <= MOST * len(said), "pieces were sent twice: " + " ".join(heard)
    assert opened.evaluate("document.getElementById('unsent').children.length") == 0


def test_a_recording_of_the_page_knows_when_it_began(page):
    """Told by the browser, since the file itself does not say it: within seconds of this machine's clock."""
    import time

    opened, store, _ = page
    began = time.time()
    opened.click("#record")
    opened.wait_for_function("() => document.getElementById('recording-time').textContent >= '0:04'", timeout=20_000)
    opened.click("#record")
    ended = time.time()
    opened.wait_for_function("() => /heard; |could not/.test(document.getElementById('way').textContent)", timeout=120_000)
    (sent,) = [k for k in store.recordings(JOB) if k.recording.name.endswith(".webm")]
    assert 3_000 < sent.recording.duration_ms < 1000 * (ended - began) + 1_000
    assert began - 2 < sent.started_ms / 1000 < ended - 2, "when it began, not when it ended or arrived"
