"""One file, all the way."""

import pytest

from memo2list.errors import InputError
from memo2list.pipeline import READERS, list_transcripts, process
from memo2list.settings import READERS as READER_NAMES

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
