"""A removed job leaves nothing: no row, no index, no log, no file."""

from memo2list.store.database import FILE_NAME
from tests.store.conftest import CONTENT, JOB, punch_list, transcript

SECRET = "quixotic"


def test_nothing_of_a_removed_job_is_left_in_any_file(store, tmp_path):
    store.note(JOB, "k1", f"the {SECRET} note")
    store.hear_again(JOB, transcript(f"a {SECRET} word"))
    (tmp_path / "picture.jpg").write_bytes(b"a picture")
    store.attach(JOB, "k1", tmp_path / "picture.jpg")
    store.remove_job(JOB)
    assert store.jobs() == ()
    assert store.search(SECRET).found == ()
    store.close()
    for file in store.folder.rglob("*"):
        if file.is_file():
            held = file.read_bytes()
            assert SECRET.encode() not in held
            assert b"fascia" not in held
            assert CONTENT not in held
    assert [p.name for p in store.folder.rglob("*") if p.is_file() and p.name != FILE_NAME and p.stat().st_size] == []


def test_a_recording_that_another_job_has_too_stays(store, tmp_path):
    store.add_job("Other")
    store.keep_recording("Other", tmp_path / "walk.wav", transcript())
    store.save_list("Other", punch_list())
    store.remove_job(JOB)
    assert store.recordings("Other")[0].file.read_bytes() == CONTENT


def test_the_log_is_empty_after_removing(store):
    store.remove_job(JOB)
    log = store.folder / f"{FILE_NAME}-wal"
    assert not log.exists() or log.stat().st_size == 0
