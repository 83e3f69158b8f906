"""Which voice says each word, given roughly how each voice sounds: the most likely path through the words (Viterbi).

Each voice is a Gaussian over frames. The voice changes easily at a pause or a sentence end, hardly inside a sentence.
"""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from memo2list.hearing.statements import border
from memo2list.hearing.voice_groups import Group, group_of, spread_of
from memo2list.records import Word

ROUNDS = 3  # of giving words to voices and measuring the voices anew
LEAST_FRAMES = 120  # a voice with less is not measured anew
FRAME_SHARE = 0.3  # frames of one word are alike: their likelihoods do not count in full
CHANGE = {"sentence": -0.7, "pause": -2.5, "within": -9.0}  # log chance that the voice changes before a word


def settled(words: Sequence[Word], frames: Sequence[np.ndarray], labels: Sequence[int]) -> list[int]:
    """The number of the voice of each word, after voices and words have been fitted to each other `ROUNDS` times.

    `labels` are the numbers to begin with, from 0 on, −1 for a word of no voice; `frames` of each word have shape (n, d).
    """
    everything, ends = np.concatenate(frames), np.cumsum([0, *(len(f) for f in frames)])
    pooled = spread_of(everything)
    changes = np.array([0.0, *(CHANGE[border(a, b)] for a, b in pairwise(words))])
    groups = [_again(frames, labels, n, None) for n in range(max(labels) + 1)]
    found = list(labels)
    for _ in range(ROUNDS):
        each = np.stack([_likelihoods(everything, g, pooled) for g in groups], axis=1)
        sums = np.concatenate([np.zeros((1, len(groups))), each.cumsum(axis=0)])
        found = _best_path(FRAME_SHARE * np.diff(sums[ends], axis=0), changes)
        groups = [_again(frames, found, n, g) for n, g in enumerate(groups)]
    return found


def _again(frames: Sequence[np.ndarray], labels: Sequence[int], number: int, before: Group | None) -> Group:
    """The group of the words with this label, or as it was where few are left."""
    own = [f for f, label in zip(frames, labels, strict=True) if label == number]
    return before if before and sum(map(len, own)) < LEAST_FRAMES else group_of(np.concatenate(own))


def _likelihoods(frames: np.ndarray, group: Group, pooled: np.ndarray) -> np.ndarray:
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
