"""Lines of a prompt: every word once, in order, and none across a turn."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from memo2list.reading.deep.lines import FULL, lines

WORDS = st.sampled_from("the gutter leaks. why? replace it, then six feet and no more.".split())
TALKS = st.lists(st.lists(WORDS, min_size=1, max_size=80), min_size=1, max_size=6)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(TALKS)
def test_lines_cover_every_word_once_in_order(said, turns):
    transcript = said(*("AB"[n % 2] + ": " + " ".join(t) for n, t in enumerate(turns)))
    made = lines(transcript)
    assert [word for line in made for word in line.words] == list(range(len(transcript.words)))
    assert [line.number for line in made] == list(range(len(made)))


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(TALKS)
def test_no_line_crosses_a_turn(said, turns):
    transcript = said(*("AB"[n % 2] + ": " + " ".join(t) for n, t in enumerate(turns)))
    for line in lines(transcript):
        turn = transcript.turn_at(line.words.first)
        assert line.words.stop <= turn.words.stop
        assert line.speaker == turn.speaker
        assert line.text == transcript.quote(line.words)


def test_short_sentences_of_one_turn_share_a_line(said):
    (line,) = lines(said("A: It leaks. Here too. And there."))
    assert line.text == "It leaks. Here too. And there."


def test_sentences_beyond_a_full_line_start_another(said):
    sentence = "This board along the back wall is soft again."
    made = lines(said("A: " + " ".join([sentence] * 12)))
    assert len(made) > 1
    assert all(len(line.words) <= FULL for line in made)


def test_no_words_make_no_lines(said):
    assert lines(said()) == ()
