"""Who says each word: the voices of one recording told apart by how they sound, without knowing anybody.

Each chunk comes with its words in groups that sound alike and a voiceprint of each group (voices.py). Groups with like
voiceprints are one voice; then each word is given to the voice that it suits best (voice_paths.py). A voice that may be the same
as one heard more of is left open.
"""

import string
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from memo2list.hearing.statements import statements_of
from memo2list.hearing.voice_paths import settled
from memo2list.hearing.voices import Voices
from memo2list.records import Word

ONE_VOICE = 0.87  # likeness of voiceprints from which two are one voice
TWO_VOICES = {3_000: 0.55, 10_000: 0.75, 20_000: ONE_VOICE}  # up to which they are two, by ms of the shorter, if they take turns
APART = 0.6  # up to which they are two, if they do not: the same voice elsewhere, or in other noise, was 0.66–0.82
TURNS = 0.25  # share of the changes that chance would give from which two voices take turns
SHORT, SHORT_MS, SHORT_ONE_VOICE = (
    0.05,
    15_000,
    0.7,
)  # ONE_VOICE of a voice with little of the talk: its voiceprint is a rough one
LEAST_MS = 3_000  # a voice with less is none
LEAST_TALK_MS = 30_000  # with less in all nobody is told apart


@dataclass(frozen=True, slots=True, eq=False)
class _Voice:
    """Words taken for one voice."""

    words: frozenset[int]
    sums: np.ndarray  # voiceprints, each as often as it has milliseconds
    spoken_ms: int

    def __add__(self, other: "_Voice") -> "_Voice":
        return _Voice(self.words | other.words, self.sums + other.sums, self.spoken_ms + other.spoken_ms)


def who(words: Sequence[Word], chunks: Sequence[Voices]) -> list[str | None]:
    """The speaker of each word: "A" is the first to speak, "B" the next; None where nobody can say.

    `chunks` are the voices of the words, chunk by chunk, from `voices_in`. One voice alone is "A" throughout.
    """
    voices = _joined(_voices(words, chunks))
    if sum(v.spoken_ms for v in voices) < LEAST_TALK_MS:
        return [None] * len(words)
    known = [next((n for n, v in enumerate(voices) if word in v.words), -1) for word in range(len(words))]
    labels = settled(words, [f for c in chunks for f in c.of_words()], known)
    said = [replace(v, words=frozenset(w for w, label in enumerate(labels) if label == n)) for n, v in enumerate(voices)]
    return _named(labels, _open(said, _statement_numbers(words)))


def _statement_numbers(words: Sequence[Word]) -> list[int]:
    """The number of the statement that each word belongs to."""
    return [number for number, statement in enumerate(statements_of(words)) for _ in statement]


def _voices(words: Sequence[Word], chunks: Sequence[Voices]) -> list[_Voice]:
    """Each group of each chunk as a voice of its own."""
    found: list[_Voice] = []
    begin = 0
    for chunk in chunks:
        for number, print_ in enumerate(chunk.prints.astype(np.float64)):
            own = frozenset(begin + n for n, g in enumerate(chunk.groups) if g == number)
            spoken = sum(words[n].span.duration_ms for n in own)
            found.append(_Voice(own, print_ * spoken, spoken))
        begin += len(chunk.counts)
    return found


def _joined(voices: list[_Voice]) -> list[_Voice]:
    """Voices that are alike made one, the likest first; what is too short to be a voice goes to the one it is most like."""
    short_ms = max(LEAST_MS, min(SHORT_MS, SHORT * sum(v.spoken_ms for v in voices)))
    while len(voices) > 1:
        spoken = np.array([v.spoken_ms for v in voices])
        over = _likeness(voices) - _least(np.minimum.outer(spoken, spoken), short_ms)
        np.fill_diagonal(over, -np.inf)
        one, other = divmod(int(over.argmax()), len(voices))
        if over[one, other] < 0:
            break
        voices = [v for n, v in enumerate(voices) if n not in (one, other)] + [voices[one] + voices[other]]
    return voices


def _likeness(voices: Sequence[_Voice]) -> np.ndarray:
    """Cosines of the voiceprints of each with each, 0..1; 0 where one has none."""
    prints = np.array([v.sums for v in voices])
    prints /= np.linalg.norm(prints, axis=1, keepdims=True) + 1e-9
    found: np.ndarray = prints @ prints.T
    return found


def _least(shorter_ms: np.ndarray, short_ms: float) -> np.ndarray:
    """How alike two must be to be one voice, by the length of the shorter."""
    return np.where(shorter_ms < LEAST_MS, 0.0, np.where(shorter_ms < short_ms, SHORT_ONE_VOICE, ONE_VOICE))


def _open(voices: Sequence[_Voice], statements: Sequence[int]) -> set[int]:
    """The numbers of voices that may be the same as one that is heard more of."""
    order = sorted((n for n, v in enumerate(voices) if v.words), key=lambda n: -len(voices[n].words))
    likeness = _likeness(voices)
    return {
        number
        for at, number in enumerate(order)
        if any(likeness[longer, number] > _most(voices[longer], voices[number], statements) for longer in order[:at])
    }


def _most(one: _Voice, other: _Voice, statements: Sequence[int]) -> float:
    """How alike two voices may be to be two for sure."""
    if not _take_turns(one, other, statements):
        return APART
    return float(np.interp(min(one.spoken_ms, other.spoken_ms), list(TWO_VOICES), list(TWO_VOICES.values())))


def _take_turns(one: _Voice, other: _Voice, statements: Sequence[int]) -> bool:
    """Whether the two follow each other about as often as chance would have it."""
    of_one, of_both = ({statements[n] for n in words} for words in (one.words, one.words | other.words))
    said = [n in of_one for n in sorted(of_both)]
    changed = sum(a != b for a, b in pairwise(said))
    return changed * len(said) >= TURNS * 2 * said.count(True) * said.count(False)


def _named(labels: Sequence[int], unknown: set[int]) -> list[str | None]:
    """Letters in order of speaking; voices after the 26th are left open too."""
    heard = dict.fromkeys(x for x in labels if x not in unknown)
    letters = dict(zip(heard, string.ascii_uppercase, strict=False))
    return [letters.get(n) for n in labels]
