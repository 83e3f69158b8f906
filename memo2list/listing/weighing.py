"""Options weighed: what may belong to an item, with its features and facts, and the fitted weights and trees that judge it.

The weights add up named facts ("led by over"); the trees see their sum beside the features. Both are fitted by
`tests/benchmarks/fit_details.py` and stored as data beside `judging.py`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Generic, TypeVar

from memo2list.judging import JUDGES, Judge, Weights, load_judges

DETAILS = JUDGES.with_name("details.json")
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Option(Generic[T]):
    """Something that may belong to an item."""

    what: T
    features: dict[str, float]
    facts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Scale:
    """Fitted weights of facts, and the trees over their sum and the features."""

    weights: Weights
    judge: Judge

    def rows(self, options: Sequence[Option[T]]) -> list[dict[str, float]]:
        return with_sums(self.weights, options)

    def chances(self, options: Sequence[Sequence[Option[T]]]) -> list[list[float]]:
        """For each item the chance of each of its options."""
        flat = iter(self.judge.chances([row for group in options for row in self.rows(group)]))
        return [[next(flat) for _ in group] for group in options]


def with_sums(weights: Weights, options: Sequence[Option[T]]) -> list[dict[str, float]]:
    return [option.features | {"sum": weights.score(option.facts)} for option in options]


def load_scale(name: str, path: Path | None = None) -> Scale | None:
    """The scale stored under a name, None where none was fitted."""
    judges, weights = load_judges(path or DETAILS)
    return Scale(weights[f"{name} facts"], judges[name]) if name in judges else None
