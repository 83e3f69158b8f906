"""Cautions are triggered by element and by problem or action, as their rule says."""

from memo2list.listing.cautions import applies, cautions
from memo2list.vocabulary.entries import CautionRule, Entry

LEAD = CautionRule("old paint", "Test it first.", "a published rule", True, elements=("paint",), actions=("sand",))


def test_a_rule_needs_its_element_and_its_action():
    assert applies(LEAD, "paint", [], ["sand"])
    assert not applies(LEAD, "paint", [], ["match"])
    assert not applies(LEAD, "door", [], ["sand"])


def test_a_rule_that_names_nothing_never_applies_by_itself():
    assert not applies(CautionRule("x", "text", "source", True), "door", ["rot"], [])


def test_an_entry_may_name_its_caution():
    entry = Entry("paint", "element", "paint", cautions=("old paint",))
    assert [c.source for c in cautions([LEAD], [entry], "paint", [], [])] == ["a published rule"]
