"""One file, all the way."""

from pathlib import Path

import pytest

from memo2list.errors import InputError
from memo2list.hearing import hear
from memo2list.pipeline import READERS, keep_recording, list_transcripts, process
from memo2list.settings import READERS as READER_NAMES
from memo2list.store import open_store

DEMO = Path(__file__).parent.parent / "demo_audio"
TALK = """\
[0:01] A: Okay, we are at the front porch.
[0:04] A: The bottom rail is rotten, replace it.
[0:09] A: No rot in the soffit.
"""


@pytest.fixture
def walk(tmp_path):
    path = tmp_path / "walk.txt"
    path.write_text(TALK)
    return path


def test_stamped_text_becomes_a_list_with_place_and_quote(walk):
    _, _, punch_list = process(walk)
    (rail,) = [i for i in punch_list.items if "rail" in i.element]
    assert "rot" in rail.issues
    assert rail.location == "front porch"
    assert "rotten" in rail.quotes[0].text


def test_a_negated_problem_is_not_listed(walk):
    _, _, punch_list = process(walk)
    assert not [i for i in punch_list.items if i.element == "soffit"]


def test_the_same_words_give_the_same_list(walk):
    transcript, _, punch_list = process(walk)
    assert list_transcripts([transcript]) == punch_list


def test_an_unknown_reader_is_refused_with_the_names_there_are(walk):
    with pytest.raises(InputError, match="quick"):
        process(walk, reader="oracle")


def test_every_reader_that_is_there_has_a_name_for_the_command_line():
    assert set(READERS) <= set(READER_NAMES)


def test_the_date_of_a_transcript_of_our_own_is_not_when_the_recording_began(tmp_path):
    heard = hear(DEMO / "heard.json")
    with open_store(tmp_path) as store:
        store.add_job("Job")
        keep_recording(store, "Job", DEMO / "heard.json", heard)
        assert heard.recording.kind == "sound"
        assert [k.started_ms for k in store.recordings("Job")] == [None]
