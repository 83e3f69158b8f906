"""Files that arrive: which are complete, and which job they belong to."""

import pytest

from memo2list.hearing.capture_arrivals import arrivals, folder_name, job_in_path, same_job, settled, spoken_job

JOBS = ["Alder Lane 14", "Mill Road", "Becker house"]


def test_growing_hidden_partial_empty_and_other_files_are_not_taken(tmp_path):
    for name in ("done.m4a", "growing.m4a", ".hidden.m4a", "copy.m4a.part", "notes.txt", "~temp.wav"):
        (tmp_path / name).write_bytes(b"x")
    (tmp_path / "empty.wav").touch()
    before = arrivals(tmp_path)
    (tmp_path / "growing.m4a").write_bytes(b"xx")
    assert [a.path.name for a in settled(before, arrivals(tmp_path))] == ["done.m4a"]


def test_a_file_renamed_between_two_sights_waits(tmp_path):
    (tmp_path / "a.wav").write_bytes(b"x")
    before = arrivals(tmp_path)
    (tmp_path / "a.wav").rename(tmp_path / "b.wav")
    assert settled(before, arrivals(tmp_path)) == ()


@pytest.mark.parametrize(
    ("name", "job"),
    [
        ("alder lane", "Alder Lane 14"),
        ("Alder_Lane_14", "Alder Lane 14"),
        ("2026-03-02 Alder Lane 10.15", "Alder Lane 14"),
        ("20260302_mill-road", "Mill Road"),
        ("Mill Road (2)", "Mill Road"),
        ("Mill Road front porch", "Mill Road"),
        ("Bekker house", "Becker house"),
        ("Alder Lane 16", None),
        ("Hill Road", None),
        ("Road", None),
        ("New Recording 12", None),
        ("Voice 001", None),
        ("20260302", None),
        ("", None),
    ],
)
def test_a_name_means_the_job_that_it_is_like(name, job):
    assert same_job(name, JOBS) == job


def test_a_name_that_two_jobs_are_equally_like_means_neither():
    assert same_job("Alder Lane", ["Alder Lane 14", "Alder Lane 16"]) is None


def test_the_file_name_goes_before_the_folder(tmp_path):
    assert job_in_path(tmp_path / "Mill Road" / "Alder Lane 14.m4a", tmp_path, JOBS) == "Alder Lane 14"
    assert job_in_path(tmp_path / "Mill Road" / "Voice 3.m4a", tmp_path, JOBS) == "Mill Road"
    assert folder_name(tmp_path / "Voice 3.m4a", tmp_path) == ""
    assert folder_name(tmp_path / "Elm Court" / "Voice 3.m4a", tmp_path) == "Elm Court"


@pytest.mark.parametrize(
    ("lines", "job"),
    [
        (["Okay, that's recording.", "This is the job at the Alder Lane bungalow.", "The gate sticks."], "Alder Lane bungalow"),
        (["The gate sticks.", "We're at the back."], ""),
        (["This is the job I like least."], ""),
        (["the gate " * 60 + ".", "This is the job at Mill Road."], ""),
        (["This is the job at one two three four five six seven eight nine ten."], "one two three four five six seven eight"),
    ],
)
def test_a_job_is_found_where_it_is_announced_at_the_start(said, lines, job):
    assert spoken_job(said(*lines).words) == job
