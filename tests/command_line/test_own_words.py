"""What a job is about is listened for when more of it is heard, whichever command hears it."""

import json
import sys

import pytest
from click.testing import CliRunner

from memo2list.command_line import main
from memo2list.hearing import ears, whisper
from memo2list.hearing.recogniser import Stretch
from memo2list.hearing.replay import ReplayRecogniser
from memo2list.records import Word
from memo2list.store import open_store
from memo2list.timing import TimeSpan
from tests.hearing.make_media import tone, write_media

HEARD = "the tropwel faucet leaks replace the faucet"  # "Trapwell" as a recogniser may write a name it does not know


class Recogniser(ReplayRecogniser):
    """Hears the line above; the sound would rather have the name."""

    def __init__(self, folder, model):
        words = [Word(w, TimeSpan(400 * n, 400 * n + 300), 0.6) for n, w in enumerate(HEARD.split())]
        super().__init__(words, lambda w: -0.1 if w == "trapwell" else -3.0, frozenset(HEARD.split()) - {"tropwel"})


@pytest.fixture
def recording(tmp_path, monkeypatch):
    """A sound file that the recogniser above hears."""
    monkeypatch.setattr(whisper, "WhisperRecogniser", Recogniser)
    hear_module = sys.modules["memo2list.hearing.hear"]  # the name hear in the package is the function
    monkeypatch.setattr(hear_module, "find_speech_weights", lambda model, given: tmp_path)
    monkeypatch.setattr(ears, "cut", lambda samples, offset=0: [Stretch(TimeSpan(0, 4000), samples)])
    monkeypatch.setenv("MEMO2LIST_CACHE", str(tmp_path / "cache" / "weights"))
    folder = tmp_path / "arriving"
    folder.mkdir()
    return write_media(folder / "new.wav", tone(4.0))


def heard_in(store, job):
    return [t.words[1].text for t in store.transcripts(job)]


def test_add_listens_for_the_names_of_the_job(run, recording, tmp_path):
    run("add", "Mill Lane", recording, "--customer", "J. Trapwell")
    with open_store(tmp_path / "store") as store:
        assert heard_in(store, "Mill Lane") == ["Trapwell"]


def test_without_the_name_the_words_stay_as_heard(run, recording, tmp_path):
    run("add", "Mill Lane", recording, "--customer", "J. Orchard")
    with open_store(tmp_path / "store") as store:
        assert heard_in(store, "Mill Lane") == ["tropwel"]


def test_hearing_again_listens_for_places_put_right_on_the_list(run, recording, tmp_path):
    run("add", "Mill Lane", recording)
    with open_store(tmp_path / "store") as store:
        item = store.items("Mill Lane")[0]
        store.edit("Mill Lane", item.key, "location", item.location, "Trapwell room", "M")
    run("again", "Mill Lane", "--hear")
    with open_store(tmp_path / "store") as store:
        assert heard_in(store, "Mill Lane") == ["Trapwell"]


def test_a_watched_folder_listens_for_the_names_of_all_jobs(run, recording, tmp_path):
    with open_store(tmp_path / "store") as store:
        store.add_job("Trapwell house")
    run("watch", recording.parent, "--once", "--settle", 0)
    with open_store(tmp_path / "store") as store:
        (job,) = [j.name for j in store.jobs() if j.recordings]
        assert heard_in(store, job) == ["Trapwell"]


def test_extract_listens_for_the_names_in_the_settings(run, recording, tmp_path, monkeypatch):
    (tmp_path / "settings.toml").write_text('[business]\nname = "Trapwell Repairs"\n')
    monkeypatch.setenv("MEMO2LIST_SETTINGS", str(tmp_path / "settings.toml"))
    found = json.loads(CliRunner().invoke(main, ["extract", str(recording)]).stdout)
    assert "Trapwell" in found["items"][0]["quotes"][0]["text"]
