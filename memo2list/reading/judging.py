"""How likely a candidate belongs on the list: a sum of small trees over named features.

The trees are fitted from labelled walkthroughs by tests/benchmarks/fit_reading.py and stored as data beside this file.
Each tree is a few questions ("words apart ≤ 6?"); the answer can be told feature by feature.
"""

import json
import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

WEIGHTS = Path(__file__).with_name("weights.json")


@dataclass(frozen=True, slots=True)
class Judge:
    """`trees`: rows of (feature number, threshold, left, right, value); a leaf has feature number -1."""

    features: tuple[str, ...]
    base: float  # log odds before any feature is seen
    trees: tuple[tuple[tuple[int, float, int, int, float], ...], ...]

    def score(self, features: Mapping[str, float]) -> float:
        """Log odds that the candidate is right."""
        row = [features.get(name, 0.0) for name in self.features]
        return self.base + sum(leaf(tree, row) for tree in self.trees)

    def chance(self, features: Mapping[str, float]) -> float:
        """Probability 0..1 that the candidate is right."""
        return 1 / (1 + math.exp(-self.score(features)))

    def reasons(self, features: Mapping[str, float], most: int = 5) -> tuple[str, ...]:
        """The features that weighed most, each with its share of the log odds."""
        row = [features.get(name, 0.0) for name in self.features]
        shares: Counter[int] = Counter()
        for tree in self.trees:
            add_shares(tree, row, shares)
        weighed = sorted(shares.items(), key=lambda item: -abs(item[1]))[:most]
        return tuple(f"{self.features[n].replace('_', ' ')} {row[n]:g}: {share:+.2f}" for n, share in weighed)


def leaf(tree: Sequence[tuple[int, float, int, int, float]], row: Sequence[float]) -> float:
    node = tree[0]
    while node[0] >= 0:
        node = tree[node[2] if row[node[0]] <= node[1] else node[3]]
    return node[4]


def add_shares(tree: Sequence[tuple[int, float, int, int, float]], row: Sequence[float], shares: Counter[int]) -> None:
    node = tree[0]
    while node[0] >= 0:
        following = tree[node[2] if row[node[0]] <= node[1] else node[3]]
        shares[node[0]] += following[4] - node[4]  # type: ignore[assignment]
        node = following


@lru_cache(maxsize=4)
def load_judge(name: str) -> Judge | None:
    """The judge stored under `name`, None if none has been fitted."""
    if not WEIGHTS.exists():
        return None
    stored = json.loads(WEIGHTS.read_text(encoding="utf-8")).get(name)
    if stored is None:
        return None
    trees = tuple(tuple((int(f), t, int(a), int(b), v) for f, t, a, b, v in tree) for tree in stored["trees"])
    return Judge(tuple(stored["features"]), stored["base"], trees)


def rule_of_thumb(features: Mapping[str, float]) -> float:
    """A chance by plain rules, for when nothing has been fitted."""
    score = 1.2 - 0.12 * features["words_apart"] - 0.5 * features["elements_between"] - 0.4 * features["clause_ends_between"]
    score += 0.8 * features["same_passage"] + 0.8 * features["fit"] - 0.3 * features["rank"]
    against = ("negation", "general", "elsewhere", "done", "by-others", "declined", "taken-back")
    score -= 1.5 * sum(features[f"cue_{name}"] > 0 for name in against)
    return 1 / (1 + math.exp(-score))
