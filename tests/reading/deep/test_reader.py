"""The deep reader as a whole: rows in, findings held to the words out, and nothing lost silently."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from memo2list.reading.deep.reader import read_deep
from memo2list.records import WordRange
from tests.reading.deep.talking import Stub, reader_for

TALK = ("A: Okay, the side gate.", "B: It sags, and the latch is bent.", "A: I'll rehang the gate and replace the latch.")


def test_rows_become_findings_in_the_order_told(said, lexicon):
    read = reader_for(said(*TALK), lexicon)
    found = read("2-3|latch|bent|replace|side gate", "1-3|gate|sags|rehang|side gate").findings
    assert [f.element.said for f in found] == ["gate", "latch"]


def test_a_line_that_is_no_row_is_dropped_and_flagged(said, lexicon):
    reading = reader_for(said(*TALK), lexicon)("1-3|gate|sags", "and so on and so forth")
    assert len(reading.findings) == 1
    (flag,) = reading.flags
    assert flag.code == "deep-row-dropped"
    assert "and so on and so forth" in flag.reason


def test_a_row_that_nobody_said_is_dropped_and_flagged(said, lexicon):
    reading = reader_for(said(*TALK), lexicon)("2|boiler|leaking")
    assert reading.findings == ()
    assert [f.code for f in reading.flags] == ["deep-row-dropped"]


def test_an_equals_sign_repeats_the_place_of_the_row_before(said, lexicon):
    found = reader_for(said(*TALK), lexicon)("1-3|gate|sags||side gate", "2-3|latch|bent||=").findings
    assert [f.place.name for f in found] == ["side gate", "side gate"]


def test_none_gives_nothing_and_no_flag(said, lexicon):
    reading = reader_for(said(*TALK), lexicon)("none")
    assert (reading.findings, reading.flags) == ((), ())


def test_a_talk_without_words_asks_the_model_nothing(said, lexicon):
    stub = Stub("1|gate|sags")
    assert read_deep(said(), lexicon, stub).findings == ()
    assert stub.asked == []


def test_a_long_talk_is_asked_in_windows_with_the_place_in_force(said, lexicon):
    walk = ["A: Okay, now we are in the kitchen.", *["B: That was a long winter and the dog did not like it."] * 60]
    stub = Stub("none")
    read_deep(said(*walk), lexicon, stub)
    assert len(stub.asked) > 1
    assert "Place so far" not in stub.asked[0]
    assert all("Place so far: kitchen." in asked for asked in stub.asked[1:])


NOISE = st.text("0123456789-,|=?!~^ abgatelch\n", max_size=60) | st.sampled_from(["1-3|gate|sags", "2|latch|bent||=", "9|gate|x"])


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(NOISE, max_size=5))
def test_whatever_the_model_writes_every_range_lies_inside_the_talk(said, lexicon, rows):
    transcript = said(*TALK)
    everything = WordRange(0, len(transcript.words))
    for finding in reader_for(transcript, lexicon)(*rows).findings:
        for words in (finding.words, *finding.evidence, finding.element.words, *(q.words for q in finding.quantities)):
            assert everything.first <= words.first <= words.stop <= everything.stop
