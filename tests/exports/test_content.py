"""What each reader's sheet holds, and what it must not."""

from dataclasses import replace

import pytest

from memo2list.exports import Sheet
from memo2list.exports.content import document
from memo2list.exports.markdown import lines
from memo2list.records import Caution, PunchList
from tests.exports.samples import RECORDING, item, sample_list
from tests.exports.test_contract import steered


def text_of(**given: object) -> str:
    return "\n".join(lines(document(Sheet(sample_list(), **given))))  # type: ignore[arg-type]


def entries(doc):
    return {e.number: e for p in doc.parts for g in p.groups for e in g.entries}


def part_of(doc, number):
    return next(p.heading for p in doc.parts for g in p.groups for e in g.entries if e.number == number)


@pytest.mark.parametrize("reader", ["customer", "crew", "office"])
def test_an_item_to_verify_never_looks_like_agreed_work(reader):
    doc = document(Sheet(PunchList((), (item(1, kind="verify"), item(2)), ()), reader=reader))
    assert "to check, not agreed work" in entries(doc)[1].tags
    if reader != "office":
        assert part_of(doc, 1) != part_of(doc, 2)


@pytest.mark.parametrize("reader", ["customer", "crew", "office"])
@pytest.mark.parametrize("certainty", ["possible", "conditional"])
def test_what_is_not_certain_says_so_in_words(reader, certainty):
    doc = document(Sheet(PunchList((), (item(1, certainty=certainty), item(2)), ()), reader=reader))
    assert entries(doc)[1].tags != entries(doc)[2].tags == ()


def test_the_customer_reads_no_doubts_of_ours_and_no_talk_unless_asked():
    text = text_of(reader="customer")
    assert "fashion board" not in text
    assert "93%" not in text
    assert "rotten, about twelve feet" not in text
    assert "rotten, about twelve feet" in text_of(reader="customer", quotes=True)


def test_the_crew_gets_measures_cautions_with_source_and_who_decides():
    text = text_of(reader="crew")
    assert "about 12 ft" in text
    assert "US EPA 40 CFR 745" in text
    assert "Local code and licensed trades decide" in text
    assert "rotten, about twelve feet" not in text


def test_a_caution_is_never_shown_without_its_source():
    one = item(1, cautions=(Caution("Shut the gas off.", "Source X"),))
    for reader in ("crew", "office"):
        text = "\n".join(lines(document(Sheet(PunchList((), (one,), ()), reader=reader))))
        assert text.count("Shut the gas off.") == text.count("Shut the gas off. (Source X)")


def test_the_office_reads_doubts_questions_sums_and_what_was_set_aside():
    text = text_of(reader="office")
    for words in ("fashion board", "Which side of the downspout", "Quantities", "Set aside", "negated"):
        assert words in text


def test_dropped_items_are_on_no_sheet():
    dropped = PunchList((RECORDING,), (item(1, review="dropped", title="Gone"), item(2)), ())
    for reader in ("customer", "crew", "office"):
        assert "Gone" not in "\n".join(lines(document(Sheet(dropped, reader=reader))))


def test_done_work_is_off_the_crew_sheet():
    assert "brûlée" not in text_of(reader="crew")


def test_questions_are_asked_by_place_each_with_a_blank():
    doc = document(
        Sheet(PunchList((), (item(1, kind="verify"), item(2, questions=("Which?", "How?")), item(3)), ()), kind="questions")
    )
    assert entries(doc)[1].blanks == ("What was found?",)
    assert entries(doc)[2].blanks == ("Which?", "How?")
    assert 3 not in entries(doc)


def test_items_stand_by_place_in_walking_order_those_without_place_last():
    places = ("porch", None, "hall", "porch")
    walked = tuple(item(n, location=place) for n, place in enumerate(places, 1))
    doc = document(Sheet(PunchList((), walked, ()), reader="crew"))
    assert [(g.heading, [e.number for e in g.entries]) for g in doc.parts[0].groups] == [
        ("Porch", [1, 4]),
        ("Hall", [3]),
        ("Place not said", [2]),
    ]


def test_items_stand_under_the_last_place_named_and_say_the_spot():
    walked = tuple(item(n, location=place) for n, place in enumerate(("sink, kitchen", "kitchen", "hall"), 1))
    doc = document(Sheet(PunchList((), walked, ()), reader="crew"))
    assert [(g.heading, [e.number for e in g.entries]) for g in doc.parts[0].groups] == [("Kitchen", [1, 2]), ("Hall", [3])]
    assert ("Where", "Sink") in entries(doc)[1].lines
    assert "Where" not in dict(entries(doc)[2].lines)


def test_items_by_trade_say_where_they_are():
    doc = document(Sheet(sample_list(), by="trade", reader="crew", trades={"fascia": "carpentry"}))
    assert doc.parts[-1].groups[0].heading == "Carpentry"
    assert ("Where", "Rear elevation") in entries(doc)[1].lines


def test_a_reviewed_list_is_no_draft():
    kept = PunchList((), tuple(replace(i, review="kept") for i in sample_list().items), ())
    assert document(Sheet(sample_list())).draft
    assert not document(Sheet(kept)).draft


def office_rows(reader="office", kind="list", state="open"):
    asked = replace(steered().questions[0], state=state)
    doc = document(Sheet(replace(steered(), questions=(asked,)), kind=kind, reader=reader))
    return [row for p in doc.parts if p.heading == "For the office" for row in p.table.rows]


def test_questions_for_the_office_are_on_the_sheets_that_settle_them():
    assert office_rows(kind="questions")[0][0] == "Who supplied the tiles?"
    assert office_rows()[0][::2] == ("Who supplied the tiles?", "open")
    assert office_rows(reader="customer") == office_rows(reader="crew") == []


def test_a_question_that_is_done_stands_on_the_office_list_alone():
    assert office_rows(state="done")[0][::2] == ("Who supplied the tiles?", "done")
    assert office_rows(kind="questions", state="done") == []
