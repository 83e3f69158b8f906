"""A and B of a recording are named: their lines say so, and one undo takes it back."""

from dataclasses import replace

import pytest

from memo2list.errors import InputError
from memo2list.records import Turn, WordRange
from memo2list.store import naming, open_store
from tests.store.conftest import CONTENT, JOB, SHA, THREE, punch_list, transcript

HEARD = replace(transcript(), turns=(Turn(WordRange(0, 2), "A"), Turn(WordRange(2, 3), "B"), Turn(WordRange(3, 4), None)))
LINES = tuple(replace(i, by=by) for i, by in zip(THREE, ("A", "A+B", "B"), strict=True))


@pytest.fixture
def store(tmp_path):
    with open_store(tmp_path / "store") as opened:
        opened.add_job(JOB)
        recording = tmp_path / "walk.wav"
        recording.write_bytes(CONTENT)
        opened.keep_recording(JOB, recording, HEARD)
        opened.save_list(JOB, punch_list(*LINES))
        yield opened


def by(store):
    return [i.by for i in store.items(JOB)]


def test_lines_say_the_names(store):
    store.name_speakers(JOB, SHA, {"A": "contractor", "B": "customer"}, "Ada")
    assert by(store) == ["contractor", "contractor+customer", "customer"]
    assert {e.who for e in store.edits(JOB)} == {"Ada"}


def test_the_transcript_says_the_names_and_who_is_open_stays_open(store):
    store.name_speakers(JOB, SHA, {"A": "contractor"})
    named = naming.named(store.transcripts(JOB)[0], store.edits(JOB))
    assert [t.speaker for t in named.turns] == ["contractor", "B", None]
    assert naming.names(store.transcripts(JOB)[0], store.edits(JOB)) == {"A": "contractor", "B": ""}


def test_one_undo_takes_the_names_back(store):
    store.name_speakers(JOB, SHA, {"A": "contractor", "B": "customer"})
    store.undo(JOB)
    assert by(store) == ["A", "A+B", "B"]
    assert naming.names(store.transcripts(JOB)[0], store.edits(JOB)) == {"A": "", "B": ""}


def test_two_voices_of_one_name_can_be_named_apart_again(store):
    store.name_speakers(JOB, SHA, {"A": "customer", "B": "customer"})
    assert by(store) == ["customer", "customer", "customer"]
    store.name_speakers(JOB, SHA, {"A": "contractor"})
    assert by(store) == ["contractor", "contractor+customer", "customer"]


def test_an_empty_name_gives_the_letter_back(store):
    store.name_speakers(JOB, SHA, {"A": "contractor"})
    store.name_speakers(JOB, SHA, {"A": " "})
    assert by(store) == ["A", "A+B", "B"]


def test_a_line_that_was_merged_is_renamed_too(store):
    store.merge(JOB, "k1", ["k3"])
    store.name_speakers(JOB, SHA, {"B": "customer"})
    assert store.item(JOB, "k1").by == "A+customer"


def test_naming_what_is_named_already_changes_nothing(store):
    store.name_speakers(JOB, SHA, {"A": "contractor"})
    many = len(store.edits(JOB))
    store.name_speakers(JOB, SHA, {"A": "contractor", "B": ""})
    assert len(store.edits(JOB)) == many


@pytest.mark.parametrize("given", [{"C": "customer"}, {"A": "his + hers"}, {"A": "x" * 41}, {"A": "a\x00b"}])
def test_what_cannot_be_is_refused_and_nothing_is_changed(store, given):
    with pytest.raises(InputError):
        store.name_speakers(JOB, SHA, {"B": "customer", **given})
    assert store.edits(JOB) == ()


def test_a_recording_of_another_job_is_refused(store):
    with pytest.raises(InputError):
        store.name_speakers(JOB, "0" * 64, {"A": "contractor"})
