"""Pictures fall where they were taken: in a recording, in the gap beside it, or nowhere."""

import datetime
import hashlib
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memo2list.errors import InputError
from memo2list.store.timeline import NEAR_MS, Run, belonging_of, moment_of
from tests.pictures import picture_file
from tests.store.conftest import JOB, SHA, THREE, transcript

NOON = round(datetime.datetime(2025, 3, 1, 12, tzinfo=datetime.UTC).timestamp() * 1000)
TWO = (Run("first", NOON, 60_000), Run("second", NOON + 600_000, 60_000))


def test_a_picture_falls_into_the_recording_that_ran_then():
    assert moment_of(NOON + 30_000, TWO).recording == "first"
    assert moment_of(NOON + 630_000, TWO).at_ms == 30_000


def test_in_a_gap_it_belongs_to_the_nearer_recording():
    assert (moment_of(NOON + 100_000, TWO).recording, moment_of(NOON + 100_000, TWO).at_ms) == ("first", 60_000)
    assert (moment_of(NOON + 550_000, TWO).recording, moment_of(NOON + 550_000, TWO).at_ms) == ("second", 0)


def test_long_before_or_after_it_belongs_nowhere():
    assert moment_of(NOON - NEAR_MS - 1, TWO) is None
    assert moment_of(NOON - NEAR_MS, TWO).beside_ms == -NEAR_MS
    assert "taken 2 h 19 min after the walk" in belonging_of(NOON + 10 * NEAR_MS, TWO, ()).why


@given(
    taken=st.integers(NOON - 2 * 10**6, NOON + 3 * 10**6),
    times=st.lists(st.tuples(st.integers(NOON - 10**6, NOON + 10**6), st.integers(0, 10**6)), max_size=4),
)
def test_a_picture_falls_into_the_nearest_recording_and_inside_it(taken, times):
    """Counted out millisecond by millisecond of distance, each recording by itself; none if all are too far."""
    runs = {str(n): Run(str(n), started, length) for n, (started, length) in enumerate(times)}
    beside = {name: max(r.started_ms - taken, 0, taken - r.ended_ms) for name, r in runs.items()}
    found = moment_of(taken, runs.values())
    if min(beside.values(), default=NEAR_MS + 1) > NEAR_MS:
        assert found is None
        return
    run = runs[found.recording]
    assert beside[found.recording] == min(beside.values()) == abs(found.beside_ms)
    assert run.started_ms + found.at_ms + found.beside_ms == taken
    assert 0 <= found.at_ms <= run.duration_ms


@pytest.fixture
def picture(tmp_path):
    def make(after_s, name="porch.jpg", camera="K2"):
        taken = datetime.datetime.fromtimestamp(NOON / 1000 + after_s, datetime.UTC)
        return picture_file(tmp_path / name, taken, "+00:00", camera)

    return make


@pytest.fixture
def walked(store):
    store.set_start(JOB, SHA, NOON, "a test")
    return store


def belongs(store):
    return [p.key for p in store.pictures(JOB)]


def said_at(item):
    return item.quotes[0].span.start_ms / 1000


def test_a_picture_belongs_to_the_item_being_talked_about(walked, picture):
    for number, item in enumerate(THREE):
        walked.attach(JOB, "", picture(said_at(item) + 1, f"{number}.jpg"))
    assert belongs(walked) == [item.key for item in THREE]


def test_a_wrong_clock_is_put_right_for_all_pictures_of_that_camera(walked, picture):
    hour = 3600
    walked.attach(JOB, "", picture(said_at(THREE[0]) + hour, "a.jpg"))
    walked.attach(JOB, "", picture(said_at(THREE[1]) + hour + 1, "b.jpg"))
    walked.attach(JOB, "", picture(said_at(THREE[1]) + hour, "c.jpg", camera="other"))
    assert belongs(walked) == ["", "", ""]
    walked.set_clock(JOB, "K2", -hour * 1000)
    assert belongs(walked) == [THREE[0].key, THREE[1].key, ""]
    assert walked.clocks(JOB) == {"K2": -hour * 1000}


def test_what_somebody_gave_to_an_item_stays_there_until_given_back(walked, picture):
    walked.attach(JOB, "", picture(said_at(THREE[0]) + 1))
    (kept,) = walked.pictures(JOB)
    walked.give_picture(JOB, kept.number, THREE[1].key)
    assert belongs(walked) == [THREE[1].key]
    walked.give_picture(JOB, kept.number, "")
    assert belongs(walked) == [THREE[0].key]


def test_a_picture_of_a_dropped_item_goes_to_another(walked, picture):
    walked.attach(JOB, "", picture(said_at(THREE[0]) + 1))
    assert belongs(walked) == [THREE[0].key]
    walked.drop(JOB, THREE[0].key)
    assert belongs(walked) == [THREE[1].key]
    for item in THREE[1:]:
        walked.drop(JOB, item.key)
    (kept,) = walked.pictures(JOB)
    assert (kept.key, kept.why) == ("", "nothing is listed of that recording")


def test_without_a_time_it_is_unplaced_and_says_so(walked, tmp_path):
    walked.attach(JOB, "", picture_file(tmp_path / "plain.png"))
    (kept,) = walked.pictures(JOB)
    assert (kept.key, kept.why) == ("", "the file does not say when it was taken")


def test_without_a_start_of_the_recordings_it_is_unplaced_and_says_so(store, picture):
    store.attach(JOB, "", picture(1))
    assert store.pictures(JOB)[0].why == "it is not known when the recordings began"


def test_a_clock_that_was_never_set_is_put_right_and_one_beyond_belief_refused(walked, picture):
    years = 15 * 365 * 86_400
    walked.attach(JOB, "", picture(said_at(THREE[0]) + 1 - years))
    walked.set_clock(JOB, "K2", years * 1000)
    assert belongs(walked) == [THREE[0].key]
    with pytest.raises(InputError, match="that wrong"):
        walked.set_clock(JOB, "K2", 10**13)


def test_one_picture_is_one_however_often_it_comes_in(walked, picture):
    """By its time, then with an item, then by its time again: it stays with the item it was given."""
    file = picture(said_at(THREE[0]) + 1)
    walked.attach(JOB, "", file)
    walked.attach(JOB, THREE[1].key, file)
    assert belongs(walked) == [THREE[1].key]
    walked.attach(JOB, "", file)
    assert belongs(walked) == [THREE[1].key]


def test_giving_a_picture_to_an_item_that_has_it_already_leaves_one(walked, picture):
    file = picture(said_at(THREE[0]) + 1)
    for item in THREE[:2]:
        walked.attach(JOB, item.key, file)
    walked.give_picture(JOB, walked.pictures(JOB)[0].number, THREE[1].key)
    assert belongs(walked) == [THREE[1].key]


def test_a_picture_that_is_not_there_cannot_be_given(walked):
    with pytest.raises(InputError, match="not in job"):
        walked.give_picture(JOB, 99, THREE[0].key)


def test_recordings_are_in_the_order_they_were_made(store, tmp_path):
    earlier = tmp_path / "earlier.wav"
    earlier.write_bytes(b"earlier")
    sha = hashlib.sha256(b"earlier").hexdigest()
    talk = transcript()
    store.keep_recording(JOB, earlier, replace(talk, recording=replace(talk.recording, sha256=sha)))
    assert [t.recording.sha256 for t in store.transcripts(JOB)] == [SHA, sha]
    store.set_start(JOB, SHA, NOON, "a test")
    assert [t.recording.sha256 for t in store.transcripts(JOB)] == [SHA, sha], "as added while one of them is not known"
    store.set_start(JOB, sha, NOON - 1, "a test")
    assert [t.recording.sha256 for t in store.transcripts(JOB)] == [sha, SHA]


def test_a_store_made_before_times_were_kept_opens_with_everything_in_it(tmp_path):
    """As the release before left it: recordings and pictures without times; those of the pictures are read when it opens."""
    import sqlite3

    from sqlite_utils import Database

    from memo2list.store import open_store
    from memo2list.store.migrations import MIGRATIONS

    (tmp_path / "memo2list.db").unlink(missing_ok=True)
    connection = sqlite3.connect(tmp_path / "memo2list.db")
    MIGRATIONS.apply(Database(connection), stop_before="m004_times_of_recordings_and_pictures")
    connection.execute("INSERT INTO jobs VALUES (1, 'Mill', 'mill', '', '', '2025-01-01T00:00:00+00:00')")
    for number, name in enumerate(("porch.jpg", "lost.jpg", "none.jpg")):
        kept = [number, 1, f"k{number}", str(number), name, f"originals/{number}.jpg", "2025-01-01T00:00:00+00:00"]
        connection.execute("INSERT INTO pictures VALUES (?, ?, ?, ?, ?, ?, ?)", kept)
    connection.commit()
    connection.close()
    (tmp_path / "originals").mkdir()
    picture_file(tmp_path / "originals" / "0.jpg", "2025:03:01 12:00:00", "+00:00", "K2")
    (tmp_path / "originals" / "2.jpg").write_bytes(b"no picture")
    with open_store(tmp_path) as store:
        porch, lost, none = store.pictures("Mill")
    assert (porch.key, porch.name, porch.by_hand) == ("k0", "porch.jpg", True)
    assert (porch.taken_ms, porch.zoned, porch.camera) == (NOON, True, "K2")
    assert (lost.taken_ms, none.taken_ms) == (None, None)
