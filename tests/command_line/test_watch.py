"""A watched folder: each recording once, in its job, through restarts and broken files."""

import datetime
import os

import pytest
from click.testing import CliRunner

from memo2list.command_line import main
from memo2list.command_line.watch import NOTES, Watcher
from memo2list.hearing import hear
from memo2list.store import open_store
from tests.pictures import HEIC, picture_file


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


def walked(store, job="Mill Road", hour=9):
    """A job with a recording that began at that hour of 2025-03-01, UTC; the faucet is talked about from its 4th second."""
    sha = store.recordings(job)[0].recording.sha256
    began = datetime.datetime(2025, 3, 1, hour, tzinfo=datetime.UTC)
    store.set_start(job, sha, round(began.timestamp() * 1000), "a test")


def begun(looker, job, hour=9):
    talk(looker.folder / f"{job}.vtt", f"This is the job at {job}.")
    looker.look()
    walked(looker.store, job, hour)


def shown(path, clock="09:00:06", **more):
    return picture_file(path, f"2025:03:01 {clock}", "+00:00", "K2", **more)


def test_a_picture_goes_to_the_job_whose_recording_ran_when_it_was_taken(looker, store, inbox):
    begun(looker, "Mill Road")
    begun(looker, "Alder Lane", hour=13)
    shown(inbox / "IMG_1.jpg")
    shown(inbox / "IMG_2.png", "13:00:06")
    (inbox / "IMG_3.HEIC").write_bytes(HEIC.read_bytes())  # taken at 08:30:00.25
    first, second, third = looker.look()
    assert first.startswith("IMG_1.jpg: added to job 'Mill Road', item 1, Faucet")
    assert second.startswith("IMG_2.png: added to job 'Alder Lane', item 1, Faucet")
    assert third.startswith("IMG_3.HEIC: waits here: no recording ran when it was taken")
    assert {job: [p.name for p in store.pictures(job)] for job in jobs(store)} == {
        "Mill Road": ["IMG_1.jpg"],
        "Alder Lane": ["IMG_2.png"],
    }
    assert (inbox / "IMG_1.jpg").exists()


def test_a_picture_that_comes_before_its_recording_waits_and_is_told_once(looker, store, inbox):
    shown(inbox / "IMG_1.jpg")
    assert len(looker.look()) == 1
    assert looker.look() == []
    begun(looker, "Mill Road")
    (line,) = looker.look()
    assert line.startswith("IMG_1.jpg: added to job 'Mill Road', item 1")
    assert looker.look() == []
    looker.restart()
    assert looker.look() == []


def test_recording_and_picture_that_come_together_find_each_other(looker, store, inbox, monkeypatch):
    """The phone copies the pictures first; both are settled at the same look."""
    shown(inbox / "IMG_1.jpg")
    os.utime(inbox / "IMG_1.jpg", (1, 1))
    talk(inbox / "Mill Road.vtt", "This is the job at Mill Road.")
    was = Watcher.list_again
    monkeypatch.setattr(Watcher, "list_again", lambda self, job: (was(self, job), walked(store, job)))
    recording, picture = looker.look()
    assert recording.startswith("Mill Road.vtt: added to job")
    assert picture.startswith("IMG_1.jpg: added to job 'Mill Road', item 1")


def test_a_folder_named_after_the_job_goes_before_the_time(looker, store, inbox):
    begun(looker, "Mill Road")
    store.add_job("Alder Lane 14")
    shown(inbox / "Alder Lane" / "IMG_1.jpg")
    picture_file(inbox / "Alder Lane" / "IMG_2.jpg")
    looker.look()
    assert sorted(p.name for p in store.pictures("Alder Lane 14")) == ["IMG_1.jpg", "IMG_2.jpg"]
    assert store.pictures("Mill Road") == ()


def test_a_picture_that_two_jobs_could_have_is_nobodys(looker, store, inbox):
    for name in ("Mill Road", "Alder Lane"):
        begun(looker, name)
    shown(inbox / "IMG_1.jpg")
    (line,) = looker.look()
    assert "could be of 'Mill Road' or 'Alder Lane'" in line


def test_the_clock_of_a_camera_that_a_job_knows_counts(looker, store, inbox):
    begun(looker, "Mill Road")
    store.set_clock("Mill Road", "K2", -3_600_000)
    shown(inbox / "IMG_1.jpg", "10:00:06")
    assert looker.look()[0].startswith("IMG_1.jpg: added to job 'Mill Road', item 1")


def test_a_growing_broken_or_known_picture_is_not_taken(looker, store, inbox):
    begun(looker, "Mill Road")
    whole = shown(inbox / "IMG_1.jpg").read_bytes()
    (inbox / "IMG_1.jpg").write_bytes(whole[:50])
    assert looker.look(lambda: (inbox / "IMG_1.jpg").write_bytes(whole)) == []
    looker.look()
    (inbox / "IMG_2.jpg").write_bytes(b"no picture")
    (inbox / "copy.jpg").write_bytes(whole)
    told = sorted(looker.look())
    assert told[0].startswith("IMG_2.jpg: left out: is no picture that can be opened")
    assert told[1] == "copy.jpg: is in job 'Mill Road' already."
    assert len(store.pictures("Mill Road")) == 1


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
