"""Jobs, recordings and lists: what is kept, and what is refused."""

import shutil
import sqlite3

import pytest

from memo2list.errors import InputError, JobExistsError, StoreError, UnknownItemError, UnknownJobError
from memo2list.store import open_store
from memo2list.store.database import FILE_NAME
from tests.store.conftest import CONTENT, JOB, SHA, THREE, transcript


def test_a_job_counts_its_recordings_and_items(store):
    (job,) = store.jobs()
    assert (job.name, job.customer, job.recordings, job.items, job.open, job.unreviewed) == (JOB, "K. Holm", 1, 3, 3, 3)


def test_a_job_is_found_in_any_case_and_spacing(store):
    assert store.job("  mill   LANE 4 ").name == JOB


def test_a_job_name_that_exists_is_refused(store):
    with pytest.raises(JobExistsError, match="Mill lane 4"):
        store.add_job("Mill lane 4")
    assert len(store.jobs()) == 1


def test_a_mistyped_job_name_is_answered_with_the_near_one(store):
    with pytest.raises(UnknownJobError, match="Mill Lane 4"):
        store.job("Mil Lane 4")


@pytest.mark.parametrize("name", ["", "   ", "x" * 200, "tab\0bell"])
def test_a_name_that_cannot_be_one_is_refused(store, name):
    with pytest.raises(InputError):
        store.add_job(name)


def test_the_original_is_kept_byte_for_byte_under_its_hash(store):
    (kept,) = store.recordings(JOB)
    assert kept.file.read_bytes() == CONTENT
    assert SHA in kept.file.name
    assert kept.file.suffix == ".wav"


def test_the_same_recording_is_not_added_twice_to_one_job_but_to_another_it_is(store, tmp_path):
    with pytest.raises(InputError, match="already"):
        store.keep_recording(JOB, tmp_path / "walk.wav", transcript())
    store.add_job("Other")
    store.keep_recording("Other", tmp_path / "walk.wav", transcript())
    assert store.recordings(JOB)[0].file == store.recordings("Other")[0].file


def test_a_recording_that_changed_while_it_was_heard_is_refused(store, tmp_path):
    store.add_job("Other")
    (tmp_path / "walk.wav").write_bytes(b"longer now")
    with pytest.raises(StoreError, match="changed"):
        store.keep_recording("Other", tmp_path / "walk.wav", transcript())


def test_a_transcript_comes_back_equal_and_the_latest_one_counts(store):
    assert store.transcripts(JOB) == (transcript(),)
    store.hear_again(JOB, transcript("the fascia has dry rot"))
    assert store.transcripts(JOB) == (transcript("the fascia has dry rot"),)


def test_items_come_back_equal(store):
    assert store.items(JOB) == THREE


def test_an_item_is_found_by_number_and_by_key(store):
    assert store.item(JOB, 2) == store.item(JOB, "k2") == THREE[1]
    with pytest.raises(UnknownItemError):
        store.item(JOB, 9)


def test_everything_is_there_after_closing_and_opening(store):
    store.keep(JOB, "k1")
    store.close()
    with open_store(store.folder) as again:
        assert again.item(JOB, "k1").review == "kept"


def test_committed_work_outlives_a_power_cut(store):
    """WAL with synchronous=FULL: the pragmas are what SQLite's documents ask for."""
    assert store.db.row("PRAGMA journal_mode")[0] == "wal"
    assert store.db.row("PRAGMA synchronous")[0] == 2


def test_a_copy_of_the_files_taken_at_any_moment_opens_with_what_was_committed(store, tmp_path):
    """What a crash leaves: the database and its log, without a clean close."""
    store.keep(JOB, "k1")
    copy = tmp_path / "copy"
    shutil.copytree(store.folder, copy)
    with open_store(copy) as found:
        assert found.item(JOB, "k1").review == "kept"


def test_a_store_that_cannot_be_written_is_told_in_one_line(tmp_path):
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(StoreError, match="--store") as told:
        open_store(tmp_path / "file" / "store")
    assert "\n" not in str(told.value)


def test_a_file_that_is_no_database_is_told_and_left_alone(tmp_path):
    (tmp_path / FILE_NAME).write_bytes(b"something else entirely, " * 100)
    with pytest.raises(StoreError, match="not a database"):
        open_store(tmp_path)
    assert (tmp_path / FILE_NAME).read_bytes().startswith(b"something else")


def test_a_store_of_a_newer_version_is_not_touched(store):
    store.db.connection.execute(
        "INSERT INTO _sqlite_migrations (migration_set, name, applied_at) VALUES ('memo2list', 'm999', '')"
    )
    store.close()
    with pytest.raises(StoreError, match="newer"):
        open_store(store.folder)


def test_edits_cannot_be_overwritten_even_with_sql(store):
    store.keep(JOB, "k1")
    with pytest.raises(sqlite3.IntegrityError, match="never changed"):
        store.db.connection.execute("UPDATE edits SET who = 'somebody else'")
