"""Who says each word, told by how the voices sound. The voices are made on the spot; see make_voices."""

import sys
from dataclasses import replace

import numpy as np
import pytest

from memo2list.hearing import ears, hear
from memo2list.hearing.recogniser import Stretch
from memo2list.hearing.replay import ReplayRecogniser
from memo2list.hearing.speakers import who
from memo2list.hearing.voices import unpacked, voices_in
from memo2list.timing import TimeSpan
from tests.hearing.make_media import write_media
from tests.hearing.make_voices import Throat, talk

DEEP = Throat(pitch=105)
HIGH = Throat(pitch=190, size=1.17, bright=0.8)
THIRD = Throat(pitch=150, size=0.85, bright=0.1)


def heard(turns, seed=1):
    samples, words = talk(turns, seed)
    return who(words, [voices_in(samples, words)])


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


def test_twenty_seconds_of_two_voices_are_too_little_as_well():
    assert set(heard(turns_of(DEEP, HIGH, rounds=3))) == {None}


def test_chunks_of_one_recording_give_the_same_speakers_as_the_whole():
    """The second chunk begins with the voice that was second in the first."""
    turns = turns_of(DEEP, HIGH)
    samples, words = talk([*turns, *turns[1:]])
    cut = sum(count for _, count, _ in turns)
    at = words[cut].span.start_ms * 16
    chunks = [voices_in(samples[:at], words[:cut]), voices_in(samples[at:], words[cut:], at)]
    assert who(words, chunks) == said([*turns, *turns[1:]])


def test_a_voice_that_may_be_the_first_one_elsewhere_is_left_open():
    """Two voices, likeness between surely one and surely two, that never take turns."""
    voiceprints = np.array([[1.0, 0.0], [0.75, 0.66]])
    samples, words = talk([*turns_of(DEEP, rounds=9), *turns_of(HIGH, rounds=6)])
    split = sum(count for _, count, _ in turns_of(DEEP, rounds=9))
    prints = np.zeros((2, 256), np.float16)
    prints[:, :2] = voiceprints
    groups = tuple(int(n >= split) for n in range(len(words)))
    found = who(words, [replace(voices_in(samples, words), groups=groups, prints=prints)])
    assert set(found[:split]) == {"A"}
    assert set(found[split:]) == {None}


def test_nothing_said_is_nobody():
    assert who([], []) == []


def test_voices_survive_being_kept():
    samples, words = talk(turns_of(DEEP, HIGH, rounds=2))
    voices = voices_in(samples, words)
    again = unpacked(voices.packed())
    assert (again.counts, again.groups) == (voices.counts, voices.groups)
    assert np.array_equal(again.frames, voices.frames)
    assert np.array_equal(again.prints, voices.prints)
    assert len(voices.counts) == len(voices.groups) == len(words)


def test_where_in_the_recording_a_chunk_begins_changes_nothing():
    samples, words = talk(turns_of(DEEP, HIGH, rounds=1))
    offset = 16_000 * 600
    later = [replace(w, span=TimeSpan(w.span.start_ms + 600_000, w.span.end_ms + 600_000)) for w in words]
    assert np.array_equal(voices_in(samples, later, offset).frames, voices_in(samples, words).frames)


@pytest.fixture
def walk(tmp_path, monkeypatch):
    """A minute of two voices as a file, heard in chunks of 20 s."""
    samples, words = talk(turns_of(DEEP, HIGH, rounds=11))
    file = write_media(tmp_path / "walk.wav", samples)

    def whole(samples, offset=0):
        return [Stretch(TimeSpan(offset // 16, (offset + len(samples)) // 16), samples)]

    monkeypatch.setattr(ears, "cut", whole)
    hear_module = sys.modules["memo2list.hearing.hear"]
    monkeypatch.setattr(hear_module, "CHUNK_S", 20)
    monkeypatch.setattr(hear_module, "last_pause", lambda samples, earliest: 20 * 16_000)
    assert len(samples) > 55 * 16_000
    return file, words


def speakers_of(transcript):
    return [transcript.speaker_at(n) for n in range(len(transcript.words))]


def test_a_recording_is_heard_with_its_speakers(walk):
    file, words = walk
    transcript = hear(file, recogniser=ReplayRecogniser(words))
    assert speakers_of(transcript) == said(turns_of(DEEP, HIGH, rounds=11))
    assert len(transcript.turns) == 22


def test_a_resumed_run_tells_the_same_speakers(walk, tmp_path):
    file, words = walk

    class Dies(ReplayRecogniser):
        heard = 0

        def hear(self, stretches):
            self.heard += 1
            if self.heard == 3:
                raise KeyboardInterrupt
            return super().hear(stretches)

    with pytest.raises(KeyboardInterrupt):
        hear(file, recogniser=Dies(words), work_folder=tmp_path / "work")
    assert len(list((tmp_path / "work").glob("*.json"))) == 2
    resumed = hear(file, recogniser=ReplayRecogniser(words), work_folder=tmp_path / "work")
    assert resumed == hear(file, recogniser=ReplayRecogniser(words))


def test_speakers_can_be_left_out(walk):
    file, words = walk
    assert set(speakers_of(hear(file, recogniser=ReplayRecogniser(words), speakers=False))) == {None}
