"""Jobs and lists from the command line: what is said, what is kept, what a script gets."""

import json

import jsonschema
import pytest
from click.testing import CliRunner

from memo2list.command_line import main
from memo2list.exports.contract import list_schema
from memo2list.store import open_store
from tests.pictures import HEIC, picture_file

TALK = """\
[0:01] A: Okay, we are at the front porch.
[0:04] A: The bottom rail is rotten, replace it.
[0:09] A: No rot in the soffit.
"""
MORE = """\
[0:01] A: Okay, we are in the kitchen.
[0:04] A: The faucet is leaking, replace the faucet.
"""


@pytest.fixture
def walk(tmp_path):
    path = tmp_path / "walk.txt"
    path.write_text(TALK)
    return path


@pytest.fixture
def more(tmp_path):
    path = tmp_path / "more.txt"
    path.write_text(MORE)
    return path


@pytest.fixture
def porch(run, walk):
    assert run("add", "Porch job", walk, "--customer", "K. Holm").exit_code == 0
    return run


def test_add_makes_the_job_and_jobs_shows_it(porch):
    (job,) = json.loads(porch("jobs", "--json").stdout)
    assert (job["name"], job["customer"], job["recordings"]) == ("Porch job", "K. Holm", 1)
    assert "Porch job" in porch("jobs").stdout


def test_list_prints_one_line_an_item_in_a_pipe(porch):
    (line,) = porch("list", "porch job").stdout.splitlines()
    assert line.split("\t")[0] == "1"
    assert "front porch" in line


def test_list_as_json_follows_the_contract(porch):
    jsonschema.validate(json.loads(porch("list", "Porch job", "--json").stdout), list_schema())


def test_a_second_recording_joins_the_list_and_says_what_is_new(porch, more):
    result = porch("add", "Porch job", more)
    assert "new: 2" in result.stdout
    assert [i["number"] for i in json.loads(porch("list", "Porch job", "--json").stdout)["items"]] == [1, 2]


def test_a_job_name_that_exists_is_refused_where_a_new_one_is_wanted(porch, more):
    result = porch("add", "--new", "porch JOB", more)
    assert result.exit_code == 1
    assert len(result.stderr.splitlines()) == 1
    assert json.loads(porch("jobs", "--json").stdout)[0]["recordings"] == 1


def test_one_bad_file_among_good_ones_is_told_and_the_others_are_kept(run, walk, tmp_path):
    result = run("add", "Job", tmp_path / "missing.wav", walk)
    assert result.exit_code == 1
    assert [line for line in result.stderr.splitlines() if "missing.wav" in line]
    assert json.loads(run("jobs", "--json").stdout)[0]["recordings"] == 1


def test_only_bad_files_make_no_job(run, tmp_path):
    assert run("add", "Job", tmp_path / "missing.wav").exit_code == 1
    assert json.loads(run("jobs", "--json").stdout) == []


def test_the_same_recording_twice_is_told_in_one_line(porch, walk):
    result = porch("add", "Porch job", walk)
    assert result.exit_code == 1
    assert "already" in result.stderr


def test_an_unwritable_store_is_told_in_one_line_and_nothing_is_lost(walk, tmp_path):
    (tmp_path / "file").write_text("in the way")
    result = CliRunner().invoke(main, ["add", "Job", str(walk), "--store", str(tmp_path / "file")])
    assert result.exit_code == 1
    assert len(result.stderr.splitlines()) == 1
    assert walk.read_text() == TALK


def test_reading_again_finds_the_same(porch):
    result = porch("again", "Porch job")
    assert result.exit_code == 0
    assert "new:" not in result.stdout


def test_explain_gives_the_words_the_reasons_and_the_doubts(porch):
    told = porch("explain", "Porch job", 1).stdout
    assert "The bottom rail is rotten" in told
    assert "Understood:" in told
    assert "passage" in told


def test_explaining_an_item_that_is_not_there_is_told(porch):
    result = porch("explain", "Porch job", 99)
    assert (result.exit_code, len(result.stderr.splitlines())) == (1, 1)


def test_export_writes_a_file_once_and_only_with_force_again(porch, tmp_path):
    out = tmp_path / "list.csv"
    assert porch("export", "Porch job", "--format", "csv", "-o", out).exit_code == 0
    assert out.read_text().startswith("number,key,kind,title")
    assert porch("export", "Porch job", "--format", "csv", "-o", out).exit_code == 1
    assert porch("export", "Porch job", "--format", "csv", "-o", out, "--force").exit_code == 0


def test_export_into_a_folder_names_the_file_after_the_job(porch, tmp_path):
    assert porch("export", "Porch job", "--format", "markdown", "-o", tmp_path).exit_code == 0
    assert (tmp_path / "Porch job.md").exists()


def test_an_unknown_format_is_answered_with_the_formats(porch):
    result = porch("export", "Porch job", "--format", "clay")
    assert result.exit_code == 1
    assert "csv" in result.stderr


def test_search_finds_the_item_in_other_words_and_marks_the_quote(porch):
    found = json.loads(porch("search", "decayed", "bottom", "rail", "--json").stdout)
    assert found["found"][0]["job"] == "Porch job"
    assert "rotten" in found["found"][0]["quote"]


def test_search_without_words_or_filters_is_a_wrong_call(porch):
    assert porch("search").exit_code == 2


def test_edits_are_empty_where_nothing_was_changed(porch):
    assert json.loads(porch("edits", "Porch job", "--json").stdout) == []


def test_edits_call_a_speaker_by_letter_and_never_by_an_inner_key(porch, tmp_path):
    with open_store(tmp_path / "store") as store:
        sha256 = store.recordings("Porch job")[0].recording.sha256
        store.name_speakers("Porch job", sha256, {"A": "contractor"})
    told = porch("edits", "Porch job").stdout
    assert "speaker A" in told
    assert "speaker-" not in told


def test_history_counts_and_gives_csv_for_a_spreadsheet(porch):
    assert porch("history", "--by", "element", "--csv").stdout.startswith("element,times,jobs,done,last")
    assert porch("history", "--by", "season").exit_code == 0


def test_history_draws_a_plot_once(porch, tmp_path):
    assert porch("history", "--plot", tmp_path / "h.svg").exit_code == 0
    assert (tmp_path / "h.svg").read_text().startswith("<svg")
    assert porch("history", "--plot", tmp_path / "h.svg").exit_code == 1


def test_removing_a_job_is_asked_twice_and_done_with_yes(porch):
    assert porch("remove", "Porch job").exit_code == 1
    assert len(json.loads(porch("jobs", "--json").stdout)) == 1
    assert porch("remove", "Porch job", "--yes").exit_code == 0
    assert json.loads(porch("jobs", "--json").stdout) == []


def test_a_picture_is_attached_and_a_file_that_is_none_is_refused(porch, tmp_path):
    picture_file(tmp_path / "porch.jpg")
    (tmp_path / "fake.jpg").write_bytes(b"no picture")
    assert porch("attach", "Porch job", 1, tmp_path / "porch.jpg").exit_code == 0
    assert porch("attach", "Porch job", 1, tmp_path / "fake.jpg").exit_code == 1
    html = porch("export", "Porch job", "--format", "html").stdout
    assert html.count("data:image/jpeg") == 1


def test_a_picture_that_cannot_be_opened_is_left_out_and_told_and_the_sheet_is_written(porch, tmp_path):
    """A damaged HEIC file of a phone: kept, but it cannot be shown."""
    (tmp_path / "porch.heic").write_bytes(b"\0\0\0\x18ftypheic")
    with open_store(tmp_path / "store") as store:
        store.attach("Porch job", store.item("Porch job", "1").key, tmp_path / "porch.heic")
    made = porch("export", "Porch job", "--format", "html")
    assert made.exit_code == 0
    assert "porch.heic: is no picture that can be opened" in made.stderr


def test_a_heic_picture_is_attached_also_where_it_cannot_be_shown(porch, tmp_path, monkeypatch):
    from memo2list.exports import pictures

    monkeypatch.setattr(pictures, "knows_heic", lambda: False)
    (tmp_path / "fake.heic").write_bytes(b"no picture")
    assert porch("attach", "Porch job", 1, tmp_path / "fake.heic").exit_code == 1
    assert porch("attach", "Porch job", 1, HEIC).exit_code == 0


def test_pictures_by_time_say_where_they_went(porch, tmp_path):
    import datetime

    picture_file(tmp_path / "porch.jpg", "2025:03:01 09:30:06")
    picture_file(tmp_path / "plain.jpg")
    with open_store(tmp_path / "store") as store:
        began = round(datetime.datetime(2025, 3, 1, 9, 30).timestamp() * 1000)
        store.set_start("Porch job", store.recordings("Porch job")[0].recording.sha256, began, "a test")
    said = porch("attach", "Porch job", "time", tmp_path / "porch.jpg", tmp_path / "plain.jpg").stdout
    assert "porch.jpg: item 1, " in said
    assert "plain.jpg: no item; the file does not say when it was taken." in said


def test_a_question_for_the_office_is_shown_with_the_list(run, tmp_path):
    asked = tmp_path / "asked.txt"
    asked.write_text(TALK + "[0:12] A: Question for the office, who made the rail?\n")
    assert run("add", "Rail job", asked).exit_code == 0
    assert "For the office: Who made the rail?" in run("list", "Rail job").stdout


def test_the_questions_sheet_and_the_crew_sheet_are_written(porch):
    assert "Questions to settle" in porch("export", "Porch job", "--format", "html", "--sheet", "questions").stdout
    assert "crew sheet" in porch("export", "Porch job", "--format", "markdown", "--for", "crew").stdout


def test_hearing_again_keeps_the_name_the_decisions_and_the_earlier_transcript(porch, tmp_path):
    with open_store(tmp_path / "store") as store:
        store.keep("Porch job", store.items("Porch job")[0].key, "M")
    assert porch("again", "Porch job", "--hear").exit_code == 0
    with open_store(tmp_path / "store") as store:
        assert store.items("Porch job")[0].review == "kept"
        assert [k.recording.name for k in store.recordings("Porch job")] == ["walk.txt"]
        assert store.db.row("SELECT count(*) FROM transcripts")[0] == 2
    assert "keep" in porch("edits", "Porch job").stdout
    assert "M keep" in porch("explain", "Porch job", 1).stdout


def test_similar_items_are_asked_for_by_job_and_number(porch, walk):
    other = walk.with_name("other.txt")
    other.write_text(TALK + "[0:14] A: That is all.\n")
    porch("add", "Second", other)
    found = json.loads(porch("search", "--similar-to", "Porch job:1", "--json").stdout)["found"]
    assert (found[0]["job"], found[0]["element"]) == (
        "Second",
        json.loads(porch("list", "Second", "--json").stdout)["items"][0]["element"],
    )
    assert porch("search", "--similar-to", "Porch job").exit_code == 1


def test_a_transcript_of_our_own_can_be_added_without_its_recording(run, walk, tmp_path):
    from dataclasses import replace

    from memo2list.hearing import hear
    from memo2list.transcript_json import transcript_to_json

    heard = hear(walk)
    heard = replace(heard, recording=replace(heard.recording, name="walk.m4a", sha256="a" * 64, kind="sound"))
    own = tmp_path / "heard.json"
    text = transcript_to_json(heard)
    own.write_text(text if isinstance(text, str) else json.dumps(text))
    result = run("add", "Alder Lane", own)
    assert result.exit_code == 0, result.output
    with open_store(tmp_path / "store") as store:
        assert [k.recording.kind for k in store.recordings("Alder Lane")] == ["transcript"]
