"""What still has to be asked before a price can be given."""

from memo2list.listing.questions import questions
from memo2list.records import Quantity, WordRange
from memo2list.vocabulary.entries import Entry

GUTTER = Entry("gutter", "element", "roof_edge", needs=("length", "colour"))
NINE_FEET = Quantity(9, "ft", "length", "nine feet", WordRange(0, 2))


def test_a_needed_measure_that_was_not_said_is_asked():
    assert "How long?" in questions([GUTTER], [], [], "back")


def test_a_needed_measure_that_was_said_is_not_asked():
    assert "How long?" not in questions([GUTTER], [NINE_FEET], [], "back")


def test_the_place_is_asked_first_if_none_is_known():
    assert questions([GUTTER], [], [], None)[0] == "Where is it?"


def test_nothing_is_asked_where_nothing_is_needed():
    assert questions([None], [], [], "back") == ()
