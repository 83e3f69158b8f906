"""Held to the words: a row becomes a finding only as far as the talk and the lexicon carry it."""

import pytest

from memo2list.listing import list_items
from memo2list.reading.deep.grounding import Dropped, entry_of, ground, joined, kind_of_unit, stems
from memo2list.reading.deep.lines import lines
from memo2list.reading.deep.model import RowText
from memo2list.reading.deep.notation import parse
from memo2list.reading.deep.windows import Window
from memo2list.reading.reader import look_over
from memo2list.records import Reading, WordRange

TALK = (
    "A: So we start on the back porch.",  # 1
    "B: That board up under the edge, it's gone rotten, about six feet of it.",  # 2
    "A: Fascia. I'd replace that with cedar.",  # 3
    "B: And the whirligig on the post squeaks.",  # 4
    "A: Two of them, I can see. I'll oil those.",  # 5
    "B: Dinner was lovely by the way.",  # 6
)


@pytest.fixture(scope="module")
def talk(said, lexicon):
    return look_over(said(*TALK), lexicon)


@pytest.fixture(scope="module")
def grounded(talk):
    rows = lines(talk.transcript)
    assert len(rows) == len(TALK)  # so that the line numbers above are those of the prompt

    def make(row, window=None):
        ((parsed,), _) = parse(row)
        return ground(parsed, RowText(row, 0.9, 0.4), window or Window(0, 0, len(rows), len(rows)), rows, talk)

    return make


def codes(finding):
    return {flag.code for flag in finding.flags}


def quoted(finding, talk):
    return [talk.transcript.quote(words) for words in finding.evidence]


def test_names_become_the_entries_of_the_lexicon(grounded):
    finding = grounded("2-3|fascia|rotten|replacing")
    assert (finding.element.entry, finding.problems[0].entry, finding.actions[0].entry) == ("fascia", "rot", "replace")
    assert "not-in-lexicon" not in codes(finding)


def test_the_mention_points_at_the_words_said(grounded, talk):
    assert talk.transcript.quote(grounded("2-3|fascia|rotten").element.words) == "Fascia."


def test_a_word_the_lexicon_lacks_stays_as_said_and_is_flagged(grounded):
    finding = grounded("4|whirligig|squeaks")
    assert finding.element.entry == "whirligig"
    assert "not-in-lexicon" in codes(finding)


def test_an_element_that_is_only_pointed_at_is_flagged(grounded):
    finding = grounded("2|fascia|rotten")
    assert finding.element.entry == "fascia"
    assert "element-inferred" in codes(finding)
    assert "element-inferred" not in codes(grounded("3|fascia||replace"))


def test_a_row_whose_words_are_nowhere_in_its_evidence_is_dropped_with_its_text(grounded):
    dropped = grounded("6|chimney|cracked")
    assert isinstance(dropped, Dropped)
    assert dropped.text == "6|chimney|cracked"
    assert "said in its evidence" in dropped.why


def test_a_row_about_lines_that_were_not_shown_is_dropped(grounded):
    assert isinstance(grounded("40|fascia|rotten"), Dropped)
    assert isinstance(grounded("6|fascia|rotten", Window(0, 0, 3, 3)), Dropped)


def test_line_numbers_are_those_of_the_window(grounded, talk):
    finding = grounded("2|fascia||replace", Window(1, 1, 6, 6))  # the second line shown is the third of the talk
    assert quoted(finding, talk) == ["Fascia. I'd replace that with cedar."]


def test_quotes_are_the_words_of_the_talk_and_only_of_the_lines_that_tell(grounded, talk):
    assert quoted(grounded("2-3,6|fascia|rotten|replace"), talk) == [
        "That board up under the edge, it's gone rotten, about six feet of it. Fascia. I'd replace that with cedar."
    ]


def test_an_amount_that_is_said_is_kept_as_read_in_the_words(grounded, talk):
    (quantity,) = grounded("2-3|fascia|rotten|||6 ft").quantities
    assert (quantity.value, quantity.unit, quantity.approximate) == (6, "ft", True)
    assert "six feet" in talk.transcript.quote(quantity.words)


def test_an_amount_that_is_not_said_is_left_out_and_flagged(grounded):
    finding = grounded("2-3|fascia|rotten|||45 ft")
    assert finding.quantities == ()
    assert "measure-unclear" in codes(finding)


def test_an_amount_said_in_the_next_line_is_kept_with_a_flag(grounded):
    finding = grounded("4|whirligig|squeaks|||2 ea")
    assert [(q.value, q.unit, q.kind) for q in finding.quantities] == [(2, "ea", "count")]
    assert "measure-unclear" in codes(finding)


@pytest.mark.parametrize(("marks", "status"), [("", "stated"), ("~", "possible"), ("^", "conditional"), ("!", "stated")])
def test_marks_say_how_sure_the_talk_was(grounded, marks, status):
    finding = grounded(f"2-3{marks}|fascia|rotten")
    assert (finding.assertion.status, finding.safety) == (status, marks == "!")


def test_a_place_said_in_the_words_quoted_is_not_carried(grounded):
    assert not grounded("4|whirligig|squeaks||post").place.carried
    assert grounded("2|fascia|rotten||back porch").place.carried


def test_materials_are_kept_each(grounded):
    assert [m.said for m in grounded("2-3|fascia|rotten|||| cedar; pine").materials] == ["cedar", "pine"]


def test_how_sure_the_model_was_is_kept(grounded):
    assert {p.name: p.value for p in grounded("2-3|fascia|rotten").parts} == {"deep": 0.9, "least": 0.4}


def test_every_finding_says_who_made_it_and_out_of_what(grounded):
    finding = grounded("2-3|fascia|rotten")
    assert finding.reader == "deep"
    assert "2-3|fascia|rotten" in finding.steps[0]


def test_an_entry_is_found_by_its_whole_name_only(lexicon):
    assert entry_of("element", "fascia board", lexicon) == "fascia"
    assert entry_of("element", "fascia in the rain", lexicon) == ""


def test_stems_are_blind_to_articles_endings_and_hyphens():
    assert stems("the fence-boards") == stems("fence board")


@pytest.mark.parametrize(("unit", "kind"), [("ft", "length"), ("sq ft", "area"), ("coats", "count")])
def test_a_unit_says_what_is_measured(unit, kind):
    assert kind_of_unit(unit) == kind


def test_ranges_that_touch_are_one():
    assert joined([WordRange(5, 7), WordRange(0, 2), WordRange(2, 4)]) == (WordRange(0, 4), WordRange(5, 7))


def test_a_row_marked_to_verify_becomes_an_item_to_verify(grounded, talk, lexicon):
    finding = grounded("4-5?|post||oil")
    assert finding.to_verify
    reading = Reading(talk.transcript, (), (), (), (finding,))
    (item,) = list_items([reading], lexicon).items
    assert item.kind == "verify"


def test_a_problem_that_nobody_tells_is_left_out_where_a_deed_is_told(grounded):
    assert [m.entry for m in grounded("2-3|fascia|cracked|replace").actions] == ["replace"]
    assert grounded("2-3|fascia|cracked|replace").problems == ()
    assert grounded("2-3|fascia|rotten|replace").problems != ()


def test_a_problem_without_a_deed_stays_for_the_reviewer(grounded):
    assert [m.said for m in grounded("2-3|fascia|cracked").problems] == ["cracked"]
