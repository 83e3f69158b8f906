"""Windows: together they list every line once, they are of like length, and their prompts number lines from 1."""

import re

from hypothesis import given
from hypothesis import strategies as st

from memo2list.reading.deep.lines import Line
from memo2list.reading.deep.windows import AFTER_WORDS, BEFORE_WORDS, FOCUS_WORDS, Window, even_cuts, prompt, windows
from memo2list.records import WordRange

LENGTHS = st.lists(st.integers(1, 45), max_size=160)


def talk(lengths):
    """Lines of these lengths, with words that carry their own number."""
    made, first = [], 0
    for number, length in enumerate(lengths):
        text = " ".join(f"w{first + n}" for n in range(length))
        made.append(Line(number, WordRange(first, first + length), "AB"[number % 2], text))
        first += length
    return made


def shown_words(rows, window):
    return sum(len(line.words) for line in rows[window.start : window.stop])


@given(LENGTHS)
def test_every_line_is_to_be_listed_in_exactly_one_window(lengths):
    listed = [n for w in windows(talk(lengths)) for n in range(w.first, w.last)]
    assert listed == list(range(len(lengths)))


@given(LENGTHS)
def test_prompts_are_of_like_length(lengths):
    rows = talk(lengths)
    sizes = [shown_words(rows, w) for w in windows(rows)]
    longest_line = max(lengths, default=0)
    assert not sizes or max(sizes) - min(sizes) <= 4 * longest_line


@given(LENGTHS)
def test_no_prompt_grows_with_the_talk(lengths):
    rows = talk(lengths)
    most = BEFORE_WORDS + 1.5 * FOCUS_WORDS + AFTER_WORDS + 4 * max(lengths, default=0)
    assert all(shown_words(rows, w) <= most for w in windows(rows))


@given(LENGTHS)
def test_a_window_shows_what_it_lists_and_talk_before_and_after_where_there_is_any(lengths):
    rows = talk(lengths)
    for w in windows(rows):
        assert 0 <= w.start <= w.first < w.last <= w.stop <= len(rows)
        assert (w.start < w.first) == (w.first > 0)
        assert (w.last < w.stop) == (w.last < len(rows))


@given(LENGTHS.filter(bool), st.integers(20, 400))
def test_even_cuts_cover_every_line_once(lengths, size):
    assert [n for first, last in even_cuts(talk(lengths), size) for n in range(first, last)] == list(range(len(lengths)))


@given(LENGTHS)
def test_prompts_number_lines_from_1_and_ask_for_the_focus(lengths):
    rows = talk(lengths)
    for w in windows(rows):
        head, *body, foot = prompt(rows, w).splitlines()
        assert [int(row.split()[0]) for row in body] == list(range(1, w.stop - w.start + 1))
        asked = re.fullmatch(r"Punch list of lines (\d+)-(\d+)\.", head)
        assert (w.overall(int(asked[1])), w.overall(int(asked[2]))) == (w.first, w.last - 1)
        assert foot == f"List {asked[1]}-{asked[2]}"


def test_a_prompt_gives_speakers_and_the_place_in_force():
    rows = [Line(4, WordRange(0, 2), "A", "it leaks"), Line(5, WordRange(2, 3), None, "where")]
    text = prompt([*talk([1] * 4), *rows], Window(4, 4, 6, 6, "back porch"))
    assert text == "Punch list of lines 1-2. Place so far: back porch.\n1 A: it leaks\n2 where\nList 1-2"


@given(st.integers(0, 500), st.integers(0, 500))
def test_the_number_in_a_prompt_leads_back_to_the_line(start, number):
    window = Window(start, start, start + 1, start + 1)
    assert window.overall(window.local(number)) == number
