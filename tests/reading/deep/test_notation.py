"""The notation: what is written is read again, and what is no row is handed back as such."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memo2list.reading.deep.notation import Amount, Row, parse, spans, write

NAMES = st.text("abcdefghij -'/", min_size=1, max_size=20).map(str.strip).filter(bool)
VALUES = st.integers(1, 99_999).map(float) | st.integers(1, 999).map(lambda n: n / 4)
PAIRS = st.tuples(VALUES, VALUES).map(lambda pair: (min(pair), max(pair)))
AMOUNTS = st.builds(Amount, VALUES | PAIRS, st.sampled_from(["ft", "in", "sq ft", "ea", "m", "L"]))
LINES = st.sets(st.integers(1, 60), min_size=1, max_size=8).map(lambda found: tuple(sorted(found)))
MARKS = st.sets(st.sampled_from("?~^!")).map(lambda found: "".join(sorted(found)))
ROWS = st.builds(
    Row,
    LINES,
    element=NAMES,
    problem=NAMES | st.just(""),
    action=NAMES | st.just(""),
    place=NAMES | st.just(""),
    amounts=st.lists(AMOUNTS, max_size=3).map(tuple),
    material=NAMES | st.just(""),
    marks=MARKS,
).filter(lambda row: row.problem or row.action)


@given(st.lists(ROWS, max_size=6).map(tuple))
def test_what_is_written_is_read_again(rows):
    assert parse(write(rows)) == (rows, ())


@given(st.lists(ROWS, min_size=1, max_size=4).map(tuple), st.sampled_from(["well then", "4|rail", "x|rail|loose", "3||loose"]))
def test_a_line_that_is_no_row_is_handed_back_and_the_others_are_kept(rows, bad):
    found, left = parse(bad + "\n" + write(rows))
    assert (found, left) == (rows, (bad,))


@pytest.mark.parametrize(
    "line",
    ["3|rail", "|rail|loose", "3|rail|||porch", "3|rail|loose|fix|porch|1 ea|pine|more", "3 rail loose", "3-|rail|loose"],
    ids=["no claim", "no evidence", "place alone", "too many fields", "no fields", "half a span"],
)
def test_no_row_without_evidence_element_and_claim(line):
    assert parse(line) == ((), (line,))


def test_none_is_an_answer_without_items():
    assert parse("none") == ((), ())
    assert write(()) == "none"


def test_an_equals_sign_repeats_the_place_of_the_row_before():
    (_, second, third), _ = parse("1|gate|sags||yard\n2|latch|bent||=\n3|hinge|rusty")
    assert (second.place, third.place) == ("yard", "")


def test_an_amount_that_is_none_is_left_out_and_the_row_kept():
    ((row,), bad) = parse("1|gate|sags|||some feet; 3 ft")
    assert (row.amounts, bad) == ((Amount(3.0, "ft"),), ())


def test_a_span_that_runs_wild_is_cut_short():
    ((row,), _) = parse("1-99999999|gate|sags")
    assert len(row.lines) < 100


@given(st.sets(st.integers(1, 40), min_size=1))
def test_spans_name_each_line_once(found):
    ((row,), _) = parse(f"{spans(tuple(found))}|gate|sags")
    assert row.lines == tuple(sorted(found))
