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


def _losses(one: Group, others: Sequence[Group], pooled: np.ndarray) -> np.ndarray:
    """Nats lost when `one` is joined with each of `others` under one Gaussian instead of two."""
    joint = [one + o for o in others]
    volumes = np.linalg.slogdet(np.array([g.spread(pooled) for g in (*joint, *others, one)]))[1]
    many = len(others)
    sizes = np.array([g.count + PRIOR for g in (*joint, *others, one)])
    weighed = sizes * volumes
    base = PRIOR * np.linalg.slogdet(pooled)[1]
    found: np.ndarray = 0.5 * (weighed[:many] - weighed[many:-1] - weighed[-1] + base)
    return found
