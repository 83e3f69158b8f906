"""Who says each word: the voices of one recording told apart by how they sound, without a model and without knowing anybody.

Words are grouped into statements at pauses and sentence ends. Statements that sound alike are joined, the likest first (a
Gaussian for each group; generalised likelihood ratio, Gish et al. 1991). Then each word is given to a voice by the most likely
path through the recording (Viterbi), where the voice changes easily at a pause or a sentence end, hardly inside a sentence.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from memo2list.hearing.voices import CEPSTRA
from memo2list.records import Word

MOST = 4  # voices that are told apart in one recording
PAUSE_MS = 120  # between words: a new statement
LONGEST_MS = 8_000  # of one statement
AT_ONCE = 160  # statements compared each with each
PRIOR = 60  # frames of the recording's own spread that each group's spread is shrunk by
APART = 1.3  # least distance of two voices, nats a frame; different voices 1.5–4.6, parts of one voice 0.2–0.8
LEAST_MS, LEAST_STATEMENTS = 3_000, 3  # a voice with less is none
ROUNDS = 3  # of giving words to voices and measuring the voices anew
FRAME_SHARE = 0.3  # frames of one word are alike: their likelihoods do not count in full
STAY = {"sentence": -0.7, "pause": -2.5, "within": -9.0}  # log chance that the voice changes before a word


@dataclass(frozen=True, slots=True)
class _Group:
    """Sums over the frames of some statements: enough for a Gaussian."""

    count: float
    sums: np.ndarray  # (d,)
    squares: np.ndarray  # (d, d)
    members: tuple[int, ...]

    def __add__(self, other: "_Group") -> "_Group":
        sums, squares = self.sums + other.sums, self.squares + other.squares
        return _Group(self.count + other.count, sums, squares, self.members + other.members)

    @property
    def mean(self) -> np.ndarray:
        return self.sums / max(self.count, 1.0)

    def spread(self, pooled: np.ndarray) -> np.ndarray:
        """Its covariance, drawn towards the pooled one while there are few frames."""
        own = self.squares - np.outer(self.sums, self.sums) / max(self.count, 1.0)
        return (own + PRIOR * pooled) / (self.count + PRIOR)


def who(words: Sequence[Word], frames: Sequence[np.ndarray]) -> list[str | None]:
    """The speaker of each word: "A" is the first to speak, "B" the next; None for all where the voices cannot be told apart.

    `frames` holds each word's frames of shape (n, COLUMNS) from `voices_in`. One voice alone is "A" throughout.
    """
    if not words:
        return []
    heard = [f[:, :CEPSTRA] for f in frames]
    everything = np.concatenate(heard)
    if len(everything) < 2 * PRIOR:
        return [None] * len(words)
    pooled = np.cov(everything.T) + 1e-3 * np.eye(CEPSTRA)
    statements = statements_of(words)
    groups = [_group(np.concatenate([heard[n] for n in s]), (k,)) for k, s in enumerate(statements)]
    for count, found in _joined(groups, pooled):
        labels = _settled(words, heard, statements, found, pooled)
        if count == 1 or _are_voices(words, heard, statements, labels, pooled):
            return _named(labels)
    return [None] * len(words)


def statements_of(words: Sequence[Word]) -> list[range]:
    """Words said in one go: up to a pause, a sentence end or `LONGEST_MS`."""
    starts = [0]
    for number, (before, after) in enumerate(pairwise(words), 1):
        long = after.span.end_ms - words[starts[-1]].span.start_ms > LONGEST_MS
        if long or _border(before, after) != "within":
            starts.append(number)
    return [range(a, b) for a, b in pairwise([*starts, len(words)])]


def _border(before: Word, after: Word) -> str:
    if before.text.endswith((".", "?", "!", "…")):
        return "sentence"
    return "pause" if after.span.start_ms - before.span.end_ms > PAUSE_MS else "within"


def _group(frames: np.ndarray, members: tuple[int, ...]) -> _Group:
    frames = frames.astype(np.float64)
    return _Group(len(frames), frames.sum(axis=0), frames.T @ frames, members)


def _joined(groups: list[_Group], pooled: np.ndarray) -> list[tuple[int, list[_Group]]]:
    """The groups that are left when all but MOST, …, 2, 1 are joined, the likest first."""
    groups = [g for g in groups if g.count]
    while len(groups) > AT_ONCE:
        blocks = [groups[n : n + AT_ONCE] for n in range(0, len(groups), AT_ONCE)]
        groups = [g for block in blocks for g in _likest_joined(block, 4 * MOST, pooled)]
    found = []
    for count in range(MOST, 0, -1):
        groups = _likest_joined(groups, count, pooled)
        found.append((len(groups), groups))
    return found


def _likest_joined(groups: list[_Group], count: int, pooled: np.ndarray) -> list[_Group]:
    """The groups joined two by two, each time those that one Gaussian suits with the least loss, until `count` are left."""
    groups = list(groups)
    costs = np.full((len(groups), len(groups)), np.inf)
    for n in range(1, len(groups)):
        costs[n, :n] = _losses(groups[n], groups[:n], pooled)
    alive = list(range(len(groups)))
    while len(alive) > count:
        part = costs[np.ix_(alive, alive)]
        row, column = divmod(int(part.argmin()), len(alive))
        kept, gone = sorted((alive[row], alive[column]))
        groups[kept] = groups[kept] + groups[gone]
        alive.remove(gone)
        others = [n for n in alive if n != kept]
        if others:
            for n, loss in zip(others, _losses(groups[kept], [groups[o] for o in others], pooled), strict=True):
                costs[max(n, kept), min(n, kept)] = loss
    return [groups[n] for n in alive]


def _losses(one: _Group, others: Sequence[_Group], pooled: np.ndarray) -> np.ndarray:
    """Nats lost when `one` is joined with each of `others` under one Gaussian instead of two."""
    joint = [one + o for o in others]
    volumes = np.linalg.slogdet(np.array([g.spread(pooled) for g in (*joint, *others, one)]))[1]
    many = len(others)
    sizes = np.array([g.count + PRIOR for g in (*joint, *others, one)])
    weighed = sizes * volumes
    base = PRIOR * np.linalg.slogdet(pooled)[1]
    found: np.ndarray = 0.5 * (weighed[:many] - weighed[many:-1] - weighed[-1] + base)
    return found


def _settled(
    words: Sequence[Word], heard: list[np.ndarray], statements: list[range], groups: list[_Group], pooled: np.ndarray
) -> list[int]:
    """The number of the voice of each word, after voices and words have been fitted to each other `ROUNDS` times."""
    everything, ends = np.concatenate(heard), np.cumsum([len(f) for f in heard])
    changes = np.array([0.0, *(STAY[_border(a, b)] for a, b in pairwise(words))])
    labels: list[int] = []
    for _ in range(ROUNDS):
        sums = np.stack([_likelihoods(everything, g, pooled) for g in groups], axis=1).cumsum(axis=0)
        each = np.diff(np.concatenate([np.zeros((1, len(groups))), sums])[np.concatenate([[0], ends])], axis=0)
        labels = _best_path(FRAME_SHARE * each, changes)
        groups = [_of_label(heard, labels, n, g) for n, g in enumerate(groups)]
    return labels


def _of_label(heard: list[np.ndarray], labels: list[int], number: int, before: _Group) -> _Group:
    own = [f for f, label in zip(heard, labels, strict=True) if label == number and len(f)]
    return _group(np.concatenate(own), ()) if own else before


def _likelihoods(frames: np.ndarray, group: _Group, pooled: np.ndarray) -> np.ndarray:
    root = np.linalg.cholesky(group.spread(pooled))
    away = np.linalg.solve(root, (frames - group.mean).T)
    found: np.ndarray = -0.5 * (away**2).sum(axis=0) - np.log(np.diag(root)).sum()
    return found


def _best_path(likelihoods: np.ndarray, changes: np.ndarray) -> list[int]:
    """The most likely voice of each word; `changes` is the log chance that it changes before the word."""
    total, came_from = likelihoods[0], []
    for row, change in zip(likelihoods[1:], changes[1:], strict=True):
        best = int(total.argmax())
        switched = total[best] + change > total
        came_from.append(np.where(switched, best, np.arange(len(total))))
        total = np.where(switched, total[best] + change, total) + row
    path = [int(total.argmax())]
    for back in reversed(came_from):
        path.append(int(back[path[-1]]))
    return path[::-1]


def _are_voices(
    words: Sequence[Word], heard: list[np.ndarray], statements: list[range], labels: list[int], pooled: np.ndarray
) -> bool:
    """Whether each of the voices speaks long enough, often enough, and unlike every other."""
    numbers = sorted(set(labels))
    for number in numbers:
        spoken = sum(w.span.duration_ms for w, label in zip(words, labels, strict=True) if label == number)
        if spoken < LEAST_MS or sum(number in {labels[n] for n in s} for s in statements) < LEAST_STATEMENTS:
            return False
    groups = [_of_label(heard, labels, n, _group(np.zeros((0, CEPSTRA)), ())) for n in numbers]
    return all(distance(one, other, pooled) >= APART for n, one in enumerate(groups) for other in groups[:n])


def distance(one: _Group, other: _Group, pooled: np.ndarray) -> float:
    """How unlike two voices are: nats lost by taking them for one, for each frame of the shorter."""
    return float(_losses(one, [other], pooled)[0] / max(1.0, min(one.count, other.count)))


def _named(labels: Sequence[int]) -> list[str | None]:
    order = {number: chr(ord("A") + n) for n, number in enumerate(dict.fromkeys(labels))}
    return [order[n] for n in labels]
