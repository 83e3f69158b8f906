"""Who says each word, told by how the voices sound. The voices are made on the spot; see make_voices."""

from dataclasses import replace

import numpy as np

from memo2list.hearing.speakers import who
from memo2list.hearing.voices import unpacked, voices_in
from memo2list.timing import TimeSpan
from tests.hearing.make_voices import Throat, talk

DEEP = Throat(pitch=105)
HIGH = Throat(pitch=190, size=1.17, bright=0.8)
THIRD = Throat(pitch=140, size=0.9, bright=0.2)


def heard(turns, seed=1):
    samples, words = talk(turns, seed)
    return who(words, voices_in(samples, words).of_words())


def said(turns):
    names = {}
    return [names.setdefault(throat, "ABCD"[len(names)]) for throat, count, _ in turns for _ in range(count)]


def turns_of(*throats, rounds=8):
    return [(t, 6 + (n * 5) % 9, 0.2) for n, t in enumerate(throats * rounds)]


def test_two_voices_that_take_turns_are_told_apart_word_by_word():
    turns = turns_of(DEEP, HIGH)
    assert heard(turns) == said(turns)


def test_three_voices_are_told_apart():
    turns = turns_of(HIGH, DEEP, THIRD)
    assert heard(turns) == said(turns)


def test_a_memo_of_one_voice_stays_one_speaker():
    assert set(heard(turns_of(DEEP, rounds=20))) == {"A"}


def test_an_answer_of_two_words_without_a_pause_is_given_to_the_voice_that_says_it():
    turns = [*turns_of(DEEP, HIGH), (DEEP, 9, 0.3), (HIGH, 2, 0.0), (DEEP, 9, 0.0)]
    assert heard(turns) == said(turns)


def test_a_few_words_are_too_little_to_tell_voices():
    assert heard([(DEEP, 3, 0.1)]) == [None, None, None]


def test_nothing_said_is_nobody():
    assert who([], []) == []


def test_voices_survive_being_kept():
    samples, words = talk(turns_of(DEEP, HIGH, rounds=2))
    voices = voices_in(samples, words)
    again = unpacked(voices.packed())
    assert again.counts == voices.counts
    assert np.array_equal(again.frames, voices.frames)
    assert len(voices.counts) == len(words)


def test_pitch_is_measured():
    """A buzz of 105 Hz and one of 190 Hz, within a semitone at the median."""
    for throat in (DEEP, HIGH):
        samples, words = talk([(throat, 20, 0.1)])
        pitch = voices_in(samples, words).frames[:, -1].astype(float)
        assert abs(np.median(pitch[pitch > 0]) - np.log2(throat.pitch)) < 1 / 12


def test_where_in_the_recording_a_chunk_begins_changes_nothing():
    samples, words = talk(turns_of(DEEP, HIGH, rounds=1))
    offset = 16_000 * 600
    later = [replace(w, span=TimeSpan(w.span.start_ms + 600_000, w.span.end_ms + 600_000)) for w in words]
    assert np.array_equal(voices_in(samples, later, offset).frames, voices_in(samples, words).frames)
