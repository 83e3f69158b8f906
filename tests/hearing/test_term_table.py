"""The terms to listen for are chosen once for a lexicon and a recogniser, and found again."""

from dataclasses import replace

import pytest

from memo2list.hearing.replay import ReplayRecogniser
from memo2list.hearing.term_table import terms_for
from memo2list.vocabulary.entries import Entry

ENTRIES = (
    Entry("soffit", "element", "roof_edge", forms=("soffit board",), sounds=("saw fit",)),
    Entry("rot", "problem", "common", forms=("rotten",)),
)


class Counting(ReplayRecogniser):
    """Counts the words it is asked about."""

    spelling = "one"

    def __init__(self):
        super().__init__(())
        self.asked = 0

    def is_common(self, word):
        self.asked += 1
        return word == "board"


@pytest.fixture
def terms(tmp_path):
    """`terms(entries, recogniser)`, all kept in one folder."""
    return lambda entries, recogniser, own_words=(): terms_for(entries, recogniser, own_words, tmp_path)


def content(terms):
    near = {text: [(n.term, n.gap) for n in terms.near([text])] for text in ("saw fit", "sofit", "rotted")}
    return terms.texts, terms.known, terms.pack_of, near


def test_the_kept_table_says_the_same_and_asks_nothing(terms):
    made = terms(ENTRIES, Counting())
    asking = Counting()
    assert content(terms(ENTRIES, asking)) == content(made)
    assert asking.asked == 0


@pytest.mark.parametrize("changed", ["lexicon", "recogniser"])
def test_another_lexicon_or_recogniser_has_a_table_of_its_own(terms, changed):
    terms(ENTRIES, Counting())
    asking = Counting()
    entries = ENTRIES
    if changed == "lexicon":
        entries = (replace(ENTRIES[0], forms=("eaves board",)), ENTRIES[1])
    else:
        asking.spelling = "another"
    found = terms(entries, asking)
    assert asking.asked > 0
    assert ("eaves board" in found) == (changed == "lexicon")


def test_rare_words_of_the_job_are_listened_for_as_they_are_written(terms):
    found = terms(ENTRIES, Counting(), ["J. Trapwell, 4 Mill Lane", "soffit board"])
    (near,) = [n for n in found.near(["tropwel"]) if n.term.text == "trapwell"]
    assert near.term.written == "Trapwell"
    assert "4" not in found.texts
