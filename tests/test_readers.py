"""Which reader reads: the one asked for, and both where the deep one is here."""

import pytest

from memo2list import pipeline
from memo2list.errors import InputError, WeightsError
from tests.reading.deep.talking import Stub

TALK = ("A: Okay, at the side gate.", "B: The gate is sagging, and that whirligig squeaks.", "A: I'll replace the gate.")
ROWS = ("1-3|gate|sagging|replace|side gate", "2|whirligig|squeaks||side gate")


@pytest.fixture
def talk(said):
    return said(*TALK)


@pytest.fixture
def here(monkeypatch, tmp_path):
    monkeypatch.setattr(pipeline, "converted_folder", lambda: tmp_path)


@pytest.fixture
def missing(monkeypatch):
    monkeypatch.setattr(pipeline, "converted_folder", lambda: None)


def test_the_quick_reader_asks_no_model(talk, lexicon):
    stub = Stub(*ROWS)
    readings, _ = pipeline.understand([talk], lexicon, "quick", stub)
    assert stub.asked == []
    assert all(f.reader == "quick" for f in readings[0].findings)


def test_the_deep_reader_alone_lists_its_rows(talk, lexicon):
    readings, found = pipeline.understand([talk], lexicon, "deep", Stub(*ROWS))
    assert {f.reader for f in readings[0].findings} == {"deep"}
    assert [i.element for i in found.items] == ["gate", "whirligig"]
    assert found.items[0].location == "side gate"


def test_both_readers_make_one_list_in_which_views_of_one_are_marked(talk, lexicon):
    _, found = pipeline.understand([talk], lexicon, "both", Stub(*ROWS))
    (whirligig,) = [i for i in found.items if i.element == "whirligig"]
    assert "one-reader" in {f.code for f in whirligig.flags}
    assert len([i for i in found.items if i.element == "gate"]) == 1


def test_every_quote_of_the_deep_reader_is_words_of_the_talk(talk, lexicon):
    _, found = pipeline.understand([talk], lexicon, "deep", Stub(*ROWS))
    for item in found.items:
        assert item.quotes
        assert all(q.text == talk.quote(q.words) for q in item.quotes)


@pytest.mark.parametrize("reader", ["deep", "both"])
def test_what_is_said_to_the_list_steers_the_deep_reader_too(said, lexicon, reader):
    """It is not shown the words of cues, notes and questions; what it lists of the rest is taken back as said."""
    lines = ("A: Okay, at the side gate.", "A: The gate is sagging.", "A: Next item.", "A: The whirligig squeaks.")
    stub = Stub("1-2|gate|sagging||side gate", "3-4|whirligig|squeaks||side gate", "1-4|whirligig|squeaks||side gate")
    told = ("A: Strike the last one.", "A: Note to self, oil.", "A: Question for the office, whose is it?")
    _, found = pipeline.understand([said(*lines, *told)], lexicon, reader, stub)
    shown = " ".join(stub.asked)
    assert not [w for w in ("Next item", "Strike", "Note", "office", "whose") if w in shown]
    assert [i.element for i in found.items] == ["gate"]
    assert {s.element for s in found.set_aside if s.why == "taken back"} == {"whirligig"}
    assert [q.text for q in found.questions] == ["Whose is it?"]


@pytest.mark.parametrize(("between", "listed"), [("A: Strike the last one.", 1), ("A: It is an old one.", 1)])
def test_a_remedy_told_after_taking_back_is_not_taken_back_with_it(said, lexicon, between, listed):
    lines = ("A: Okay, at the side gate.", "A: The gate is sagging.", between, "A: Replace the gate.")
    stub = Stub("2|gate|sagging||side gate", "4|gate||replace|side gate")
    _, found = pipeline.understand([said(*lines)], lexicon, "deep", stub)
    assert len(found.items) == listed


def test_what_the_deep_reader_made_up_is_not_listed_and_told(talk, lexicon):
    _, found = pipeline.understand([talk], lexicon, "deep", Stub("2|boiler|leaking"))
    assert (found.items, [f.code for f in found.flags]) == ((), ["deep-row-dropped"])


def test_a_list_of_several_recordings_has_items_of_each(said, lexicon):
    talks = [said(*TALK), said("A: The gate is sagging.")]
    _, found = pipeline.understand(talks, lexicon, "deep", Stub("1|gate|sagging"))
    assert len(found.recordings) == 2


def test_both_readers_are_the_default_where_the_deep_one_is_here(here):
    assert pipeline.reader_in_use() == "both"


def test_the_quick_reader_is_the_default_where_it_is_not(missing):
    assert pipeline.reader_in_use() == "quick"


@pytest.mark.parametrize("reader", pipeline.READERS)
def test_a_reader_that_is_named_is_taken(missing, reader):
    assert pipeline.reader_in_use(reader) == reader


def test_a_name_that_is_no_reader_is_refused_with_the_names_there_are(missing):
    with pytest.raises(InputError, match="quick, deep, both"):
        pipeline.reader_in_use("oracle")


@pytest.mark.parametrize("reader", ["deep", "both"])
def test_a_reader_that_is_not_here_says_how_to_get_it(missing, talk, lexicon, reader):
    with pytest.raises(WeightsError, match="memo2list models --fetch reader"):
        pipeline.understand([talk], lexicon, reader)
