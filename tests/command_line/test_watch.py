"""A watched folder: each recording once, in its job, through restarts and broken files."""

import os

import pytest
from click.testing import CliRunner

from memo2list.command_line import main
from memo2list.command_line.watch import NOTES, Watcher
from memo2list.hearing import hear
from memo2list.store import open_store


@pytest.fixture
def inbox(tmp_path):
    folder = tmp_path / "inbox"
    folder.mkdir()
    return folder


@pytest.fixture
def store(tmp_path):
    with open_store(tmp_path / "store") as store:
        yield store


def talk(path, start="Okay, here we go."):
    """A transcript with a clock: heard without a model, as WebVTT."""
    path.parent.mkdir(exist_ok=True)
    path.write_text(
        f"WEBVTT\n\n00:01.000 --> 00:03.000\n{start}\n\n00:04.000 --> 00:08.000\nThe faucet is leaking, replace the faucet.\n"
    )
    return path


class Looker:
    """A watcher that says its lines to a list, and can be started afresh."""

    def __init__(self, store, folder):
        self.store, self.folder = store, folder
        self.restart()

    def restart(self):
        self.lines = []
        self.heard = []
        self.watcher = Watcher(self.store, self.folder, self.listen, "quick", self.lines.append)

    def listen(self, path, own_words):
        self.heard.append(path.name)
        self.own_words = own_words
        return hear(path)

    def look(self, meanwhile=lambda: None):
        self.lines.clear()
        self.watcher.look(0, lambda seconds: meanwhile())
        return list(self.lines)


@pytest.fixture
def looker(store, inbox):
    return Looker(store, inbox)


def jobs(store):
    return {j.name: j.recordings for j in store.jobs()}


def test_the_spoken_start_names_the_job_and_the_list_is_made(looker, store, inbox):
    talk(inbox / "Voice 001.vtt", "This is the job at Mill Road.")
    (line,) = looker.look()
    assert line == "Voice 001.vtt: added to job 'Mill Road', 1 items."
    assert store.items("Mill Road")[0].element == "faucet"


def test_a_job_that_exists_is_found_by_speech_file_and_folder(looker, store, inbox):
    store.add_job("Alder Lane 14")
    talk(inbox / "Voice 001.vtt", "Walkthrough for Alder Lane.")
    talk(inbox / "alder_lane_2026-03-02.vtt")
    talk(inbox / "Alder Lane" / "Voice 002.vtt", "Another start.")
    looker.look()
    assert jobs(store) == {"Alder Lane 14": 3}


def test_without_any_name_a_job_of_the_day_is_opened(looker, store, inbox):
    file = talk(inbox / "Voice 001.vtt")
    os.utime(file, (1_772_452_800, 1_772_452_800))  # 2026-03-02, noon UTC
    looker.look()
    assert jobs(store) == {"Walk 2026-03-02": 1}


def test_a_growing_file_waits_until_it_is_complete(looker, store, inbox):
    file = talk(inbox / "Mill Road.vtt")
    text = file.read_text()
    file.write_text(text[:20])
    assert looker.look(lambda: file.write_text(text)) == []
    assert len(looker.look()) == 1
    assert sum(jobs(store).values()) == 1


def test_the_same_recording_under_another_name_is_not_taken_twice(looker, store, inbox):
    file = talk(inbox / "Mill Road.vtt")
    looker.look()
    (inbox / "copy.vtt").write_bytes(file.read_bytes())
    file.rename(inbox / "renamed.vtt")
    lines = looker.look()
    assert sorted(line.split(": ")[0] for line in lines) == ["copy.vtt", "renamed.vtt"]
    assert all("already" in line for line in lines)
    assert looker.heard == ["Mill Road.vtt"]


def test_what_was_dealt_with_is_not_looked_at_again_after_a_restart(looker, inbox):
    talk(inbox / "Mill Road.vtt")
    looker.look()
    looker.restart()
    assert looker.look() == []
    assert looker.heard == []


def test_damaged_notes_cost_a_look_but_take_nothing_twice(looker, store, inbox):
    talk(inbox / "Mill Road.vtt")
    looker.look()
    (store.folder / NOTES).write_text("[[")
    looker.restart()
    assert "already" in looker.look()[0]
    assert looker.heard == []


def test_a_stop_between_keeping_and_listing_is_made_good(looker, store, inbox, monkeypatch):
    talk(inbox / "Mill Road.vtt", "This is the job at Mill Road.")

    def stopped(self, job):
        raise KeyboardInterrupt

    monkeypatch.setattr(Watcher, "list_again", stopped)
    with pytest.raises(KeyboardInterrupt):
        looker.look()
    monkeypatch.undo()
    assert store.items("Mill Road") == ()
    looker.restart()
    looker.look()
    assert len(store.items("Mill Road")) == 1


def test_a_broken_file_is_told_once_and_again_when_it_changes(looker, store, inbox):
    (inbox / "broken.m4a").write_bytes(b"\x00\x01 this is no sound" * 50)
    (line,) = looker.look()
    assert line.startswith("broken.m4a: left out: is not a sound or video file")
    assert looker.look() == []
    (inbox / "broken.m4a").write_bytes(b"\x00\x02 nor is this" * 60)
    assert len(looker.look()) == 1
    assert jobs(store) == {}


def test_once_takes_in_what_is_there_and_stops(tmp_path, inbox):
    talk(inbox / "Mill Road.vtt")
    words = ["watch", str(inbox), "--once", "--settle", "0", "--store", str(tmp_path / "store")]
    first, second = (CliRunner().invoke(main, words) for _ in range(2))
    assert first.exit_code == second.exit_code == 0
    assert first.stdout.startswith("Mill Road.vtt: added to job")
    assert second.stdout == ""


def test_a_folder_that_is_not_there_is_said(tmp_path):
    result = CliRunner().invoke(main, ["watch", str(tmp_path / "none"), "--once", "--store", str(tmp_path / "store")])
    assert result.exit_code == 1
    assert "is not a folder" in result.stderr
