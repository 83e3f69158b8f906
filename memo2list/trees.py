"""Sums of small trees over many rows at once.

A tree's leaves are numbered from left to right, one bit each. A question that a row answers "more than" rules out the
leaves to its left; what is left when all questions have been asked begins with the leaf the row falls on (the
QuickScorer algorithm, Lucchese et al. 2015). So the questions of all trees about one feature are asked of all rows together.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

Node = tuple[int, float, int, int, float]  # feature number (-1: a leaf), threshold, node if ≤, node if >, value
MOST_LEAVES = 64


@dataclass(frozen=True)
class Questions:
    """All questions about one feature: thresholds in order, and the leaves left in each tree above so many of them."""

    feature: int
    thresholds: Any  # (n,)
    left: Any  # (n + 1, trees) bits


@dataclass(frozen=True)
class Trees:
    """Trees made ready to be walked by many rows."""

    questions: tuple[Questions, ...]
    all_leaves: Any  # (trees,) bits
    values: Any  # (trees, leaves)
    stored: tuple[tuple[Node, ...], ...]

    def fallen_on(self, table: Any) -> Any:
        """The number of the leaf each row of a (rows, features) table falls on in each tree."""
        import numpy as np

        left = np.repeat(self.all_leaves[None, :], len(table), axis=0)
        for asked in self.questions:
            above = np.searchsorted(asked.thresholds, table[:, asked.feature], side="left")
            rows = np.flatnonzero(above)
            left[rows] &= asked.left[above[rows]]
        return first_bit(left)

    def sums(self, table: Any) -> Any:
        """What the trees add up to for each row."""
        import numpy as np

        return self.values[np.arange(len(self.stored))[None, :], self.fallen_on(table)].sum(axis=1)

    def shares(self, table: Any) -> Any:
        """How much each feature moved the sum on the way down, for each row: a table of the same shape."""
        import numpy as np

        shares, leaves = np.zeros(table.shape), self.fallen_on(table)
        for number, tree in enumerate(self.stored):
            shares += moves(tree, table.shape[1])[leaves[:, number]]
        return shares


@lru_cache(maxsize=4096)
def moves(tree: tuple[Node, ...], width: int) -> Any:
    """How much each feature moved the value on the way from the root to each leaf: (leaves, features)."""
    import numpy as np

    out: list[Any] = []

    def down(at: int, moved: Any) -> None:
        feature, _, left, right, value = tree[at]
        if feature < 0:
            out.append(moved)
            return
        for following in (left, right):
            further = moved.copy()
            further[feature] += tree[following][4] - value
            down(following, further)

    down(0, np.zeros(width))
    return np.array(out)


def first_bit(bits: Any) -> Any:
    """The number of the lowest bit that is set, for each of many."""
    import numpy as np

    lowest = bits & (~bits + np.array(1, dtype=bits.dtype))
    if bits.dtype == np.uint16:
        return lowest_bits()[lowest]
    return np.frexp(lowest.astype(np.float64))[1] - 1


@lru_cache(maxsize=1)
def lowest_bits() -> Any:
    """The number of the bit for each power of two below 2¹⁶."""
    import numpy as np

    found = np.zeros(1 << 16, dtype=np.uint8)
    for bit in range(16):
        found[1 << bit] = bit
    return found


def trees_of(stored: Sequence[Sequence[Node]]) -> Trees:
    """The stored trees made ready. Raises ValueError for a tree of more than 64 leaves."""
    import numpy as np

    leaves = [leaves_of(tree) for tree in stored]
    most = max(len(found) for found in leaves)
    if most > MOST_LEAVES:
        raise ValueError(f"a tree has at most {MOST_LEAVES} leaves, not {most}")
    kind = np.uint16 if most <= 16 else np.uint64
    values = np.zeros((len(stored), most))
    for number, (tree, found) in enumerate(zip(stored, leaves, strict=True)):
        values[number, : len(found)] = [tree[leaf][4] for leaf in found]
    full = np.array([(1 << len(found)) - 1 for found in leaves], dtype=kind)
    return Trees(questions_of(stored, full), full, values, tuple(tuple(tree) for tree in stored))


def questions_of(stored: Sequence[Sequence[Node]], full: Any) -> tuple[Questions, ...]:
    """The questions of all trees by feature, each row of `left` with one more of them answered "more than"."""
    import numpy as np

    asked: dict[int, list[tuple[float, int, int]]] = {}
    for number, tree in enumerate(stored):
        for feature, threshold, ruled_out in rulings(tree, 0, 0)[0]:
            asked.setdefault(feature, []).append((threshold, number, ruled_out))
    out = []
    for feature, found in sorted(asked.items()):
        found.sort()
        left = np.repeat(full[None, :], len(found) + 1, axis=0)
        for row, (_, number, ruled_out) in enumerate(found, 1):
            left[row, number] &= ~np.array(ruled_out, dtype=full.dtype)
        left = np.bitwise_and.accumulate(left, axis=0)
        out.append(Questions(feature, np.array([threshold for threshold, _, _ in found]), left))
    return tuple(out)


def rulings(tree: Sequence[Node], at: int, first: int) -> tuple[list[tuple[int, float, int]], int]:
    """(feature, threshold, leaves to the left as bits) of each question from node `at` down, and the next leaf's number."""
    feature, threshold, left, right, _ = tree[at]
    if feature < 0:
        return [], first + 1
    before, middle = rulings(tree, left, first)
    after, last = rulings(tree, right, middle)
    own = (feature, threshold, ((1 << middle) - 1) & ~((1 << first) - 1))
    return [*before, own, *after], last


def leaves_of(tree: Sequence[Node], at: int = 0) -> list[int]:
    """The numbers of the leaves from left to right."""
    node = tree[at]
    return [at] if node[0] < 0 else [*leaves_of(tree, node[2]), *leaves_of(tree, node[3])]
