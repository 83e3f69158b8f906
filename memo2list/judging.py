"""How likely something is: a sum of small trees over named features. Reading and listing decide by it.

The trees are fitted from labelled walkthroughs by tests/benchmarks/fit_reading.py and stored as data beside this file.
Each tree is a few questions ("words apart ≤ 6?"); what a decision owes to each feature can be told.
"""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from operator import itemgetter
from pathlib import Path
from typing import Any

from memo2list.trees import Trees, trees_of

JUDGES = Path(__file__).with_name("judges.json")


@dataclass(frozen=True)
class Judge:
    """Fitted trees. Scores are log odds; `base` is where they start."""

    features: tuple[str, ...]
    base: float
    trees: Trees
    calibration: tuple[tuple[float, float], ...] = ()  # chance as added up → share that was right; straight lines between

    def chances(self, rows: Sequence[Mapping[str, float]]) -> list[float]:
        """Probability 0..1 for each row of named features; a feature that is not named is 0."""
        import numpy as np

        if not rows:
            return []
        found = 1 / (1 + np.exp(-self.base - self.trees.sums(table_of(self.features, rows))))
        if self.calibration:
            found = np.interp(found, [x for x, _ in self.calibration], [y for _, y in self.calibration])
        return [float(c) for c in found]

    def reasons(self, rows: Sequence[Mapping[str, float]], most: int = 4) -> list[tuple[str, ...]]:
        """For each row the features that weighed most, each with its share of the log odds."""
        if not rows:
            return []
        table = table_of(self.features, rows)
        return [self.words(row, share, most) for row, share in zip(table, self.trees.shares(table), strict=True)]

    def words(self, row: Any, share: Any, most: int) -> tuple[str, ...]:
        import numpy as np

        order = np.argsort(-np.abs(share))[:most]
        return tuple(f"{self.features[n].replace('_', ' ')} {row[n]:g}: {share[n]:+.2f}" for n in order if share[n])


def table_of(features: Sequence[str], rows: Sequence[Mapping[str, float]]) -> Any:
    """Rows of named features as one numpy table, a column for each of `features`; what is not named is 0."""
    import numpy as np

    taken = itemgetter(*features) if len(features) > 1 else None
    try:
        return np.array([taken(row) for row in rows], dtype=float) if taken and rows else table_with_gaps(features, rows)
    except KeyError:
        return table_with_gaps(features, rows)


def table_with_gaps(features: Sequence[str], rows: Sequence[Mapping[str, float]]) -> Any:
    import numpy as np

    return np.array([[row.get(name, 0.0) for name in features] for row in rows], dtype=float).reshape(len(rows), len(features))


def judge_from(stored: Mapping[str, Any]) -> Judge:
    """A judge from its stored form: {"features": […], "base": x, "trees": [[[feature, threshold, left, right, value], …], …]}."""
    trees = tuple(tuple((int(f), float(t), int(a), int(b), float(v)) for f, t, a, b, v in tree) for tree in stored["trees"])
    calibration = tuple((float(x), float(y)) for x, y in stored.get("calibration", ()))
    return Judge(tuple(stored["features"]), float(stored["base"]), trees_of(trees), calibration)


@dataclass(frozen=True)
class Weights:
    """Fitted weights of named facts that are either there or not; their sum is a log odds."""

    base: float
    weights: Mapping[str, float]

    def score(self, facts: Iterable[str]) -> float:
        """Log odds for the facts that are there; a fact without a weight counts nothing."""
        get = self.weights.get
        return self.base + sum(get(fact, 0.0) for fact in facts)

    def reasons(self, facts: Iterable[str], most: int = 3) -> tuple[str, ...]:
        """The facts that weighed most, each with its weight."""
        known = sorted({f: self.weights[f] for f in facts if f in self.weights}.items(), key=lambda pair: -abs(pair[1]))
        return tuple(f'"{fact}": {weight:+.2f}' for fact, weight in known[:most])


def load_judge(name: str) -> Judge | None:
    """The judge stored under `name`, None if none has been fitted."""
    return load_judges(JUDGES)[0].get(name)


def load_weights(name: str) -> Weights | None:
    """The weights stored under `name`, None if none have been fitted."""
    return load_judges(JUDGES)[1].get(name)


@lru_cache(maxsize=4)
def load_judges(path: Path) -> tuple[dict[str, Judge], dict[str, Weights]]:
    """All judges and all weights of a file by name; none where there is no file."""
    if not path.exists():
        return {}, {}
    stored = json.loads(path.read_text(encoding="utf-8"))
    judges = {name: judge_from(held) for name, held in stored.items() if "trees" in held}
    return judges, {name: Weights(held["base"], held["weights"]) for name, held in stored.items() if "weights" in held}
