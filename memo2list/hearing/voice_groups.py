"""Frames that sound alike, put into groups: a Gaussian for each, the likest joined first.

Agglomerative clustering by the generalised likelihood ratio of two Gaussians against one (Gish et al. 1991).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

AT_ONCE = 160  # groups compared each with each
PRIOR = 60  # frames of the recording's own spread that each group's spread is shrunk by


@dataclass(frozen=True, slots=True)
class Group:
    """Sums over the frames of some statements: enough for a Gaussian."""

    count: float
    sums: np.ndarray  # (d,)
    squares: np.ndarray  # (d, d)
    members: tuple[int, ...]

    def __add__(self, other: "Group") -> "Group":
        sums, squares = self.sums + other.sums, self.squares + other.squares
        return Group(self.count + other.count, sums, squares, self.members + other.members)

    @property
    def mean(self) -> np.ndarray:
        return self.sums / max(self.count, 1.0)

    def spread(self, pooled: np.ndarray) -> np.ndarray:
        """Its covariance, drawn towards the pooled one while there are few frames."""
        own = self.squares - np.outer(self.sums, self.sums) / max(self.count, 1.0)
        return (own + PRIOR * pooled) / (self.count + PRIOR)


def group_of(frames: np.ndarray, members: tuple[int, ...] = ()) -> Group:
    """The group of frames of shape (n, d)."""
    frames = frames.astype(np.float64)
    return Group(len(frames), frames.sum(axis=0), frames.T @ frames, members)


def spread_of(frames: np.ndarray) -> np.ndarray:
    """The covariance of frames, kept away from zero."""
    found: np.ndarray = np.cov(frames.T) + 1e-3 * np.eye(frames.shape[1])
    return found


def joined(groups: list[Group], count: int, pooled: np.ndarray) -> list[Group]:
    """At most `count` groups, the likest joined; more than AT_ONCE are joined part by part first."""
    while len(groups) > AT_ONCE:
        parts = [groups[n : n + AT_ONCE] for n in range(0, len(groups), AT_ONCE)]
        groups = [g for part in parts for g in _likest_joined(part, 3 * count, pooled)]
    return _likest_joined(groups, count, pooled)


def _likest_joined(groups: list[Group], count: int, pooled: np.ndarray) -> list[Group]:
    """The groups joined two by two, each time those that one Gaussian suits with the least loss, until `count` are left."""
    groups = list(groups)
    weighed = _volumes(groups, pooled)
    costs = np.full((len(groups), len(groups)), np.inf)
    for n in range(1, len(groups)):
        costs[n, :n] = _losses(groups, weighed, n, range(n), pooled)
    alive = list(range(len(groups)))
    while len(alive) > count:
        part = costs[np.ix_(alive, alive)]
        row, column = divmod(int(part.argmin()), len(alive))
        kept, gone = sorted((alive[row], alive[column]))
        groups[kept] = groups[kept] + groups[gone]
        weighed[kept] = _volumes([groups[kept]], pooled)[0]
        alive.remove(gone)
        others = [n for n in alive if n != kept]
        if others:
            rows, columns = np.maximum(others, kept), np.minimum(others, kept)
            costs[rows, columns] = _losses(groups, weighed, kept, others, pooled)
    return [groups[n] for n in alive]


def _losses(groups: list[Group], weighed: np.ndarray, one: int, others: Sequence[int], pooled: np.ndarray) -> np.ndarray:
    """Nats lost when group `one` is joined with each of `others` under one Gaussian instead of two.

    `weighed` are the groups' volumes as `_volumes` gives them.
    """
    joint = _volumes([groups[n] for n in others], pooled, groups[one])
    base = PRIOR * np.linalg.slogdet(pooled)[1]
    found: np.ndarray = 0.5 * (joint - weighed[list(others)] - weighed[one] + base)
    return found


def _volumes(groups: Sequence[Group], pooled: np.ndarray, more: Group | None = None) -> np.ndarray:
    """Of each group, with `more` joined to it, frames times the log determinant of its covariance."""
    counts = np.array([g.count for g in groups], float)
    sums, squares = np.array([g.sums for g in groups]), np.array([g.squares for g in groups])
    if more:
        counts, sums, squares = counts + more.count, sums + more.sums, squares + more.squares
    own = squares - sums[:, :, None] * sums[:, None, :] / np.maximum(counts, 1)[:, None, None]
    found: np.ndarray = (counts + PRIOR) * np.linalg.slogdet((own + PRIOR * pooled) / (counts + PRIOR)[:, None, None])[1]
    return found
