"""Fitting itself: weights of named facts, small trees and the calibration of chances, in the form the package stores.

Needs scikit-learn.
"""

from collections import Counter
from collections.abc import Sequence
from typing import Any

import numpy as np
from scipy.sparse import csr_matrix
from sklearn.ensemble import HistGradientBoostingClassifier
from sklearn.isotonic import IsotonicRegression
from sklearn.linear_model import LogisticRegression

from memo2list import judging

RARE = 250  # a feature seen less often is left out
RARE_FACT = 6  # the same for named facts
RIDGE = 0.05
SMALLEST = 0.01  # weights below are not kept
FOLDS = 3
STEPS = 20  # of the calibration
SMALL_SETTINGS = {
    "max_iter": 120,
    "learning_rate": 0.05,
    "max_leaf_nodes": 8,
    "min_samples_leaf": 25,
    "l2_regularization": 2.0,
    "random_state": 7,
}


def fit_facts(
    rows: Sequence[Sequence[str]], labels: Sequence[bool], rare: int = RARE_FACT, ridge: float = RIDGE
) -> dict[str, Any]:
    """Weights by logistic regression with ridge penalty; facts seen less than `rare` times are left out."""
    seen = Counter(fact for row in rows for fact in row)
    column = {fact: n for n, fact in enumerate(sorted(f for f, times in seen.items() if times >= rare))}
    at = [[column[f] for f in row if f in column] for row in rows]
    starts = np.cumsum([0, *map(len, at)])
    flat = np.concatenate([np.array(a, dtype=np.int32) for a in at])
    table = csr_matrix((np.ones(len(flat), dtype=np.float64), flat, starts), shape=(len(rows), len(column)))
    model = LogisticRegression(C=ridge, solver="liblinear").fit(table, np.array(labels))
    found = model.coef_[0]
    weights = {fact: round(float(found[n]), 3) for fact, n in column.items() if abs(found[n]) >= SMALLEST}
    return {"base": round(float(model.intercept_[0]), 4), "weights": weights}


def fit(rows: Sequence[dict[str, float]], labels: Sequence[bool], settings: dict[str, Any], rare: int = RARE) -> dict[str, Any]:
    """Trees in the stored form."""
    seen = Counter(name for row in rows for name, value in row.items() if value)
    features = sorted(name for name, times in seen.items() if times >= rare)
    table = judging.table_of(features, rows)
    model = HistGradientBoostingClassifier(**settings).fit(table, np.array(labels))
    trees = [export(stage[0].nodes) for stage in model._predictors]
    return {"features": features, "base": round(float(np.ravel(model._baseline_prediction)[0]), 5), "trees": trees}


def export(nodes: Any) -> list[list[float]]:
    """A tree as rows (feature or -1, threshold, left, right, value); inner values are the mean of their leaves."""
    out: list[list[float]] = [[]] * len(nodes)

    def visit(at: int) -> tuple[float, float]:
        node = nodes[at]
        if node["is_leaf"]:
            out[at] = [-1, 0, 0, 0, round(float(node["value"]), 4)]
            return float(node["value"]), float(node["count"])
        (a, n), (b, m) = visit(int(node["left"])), visit(int(node["right"]))
        value = (a * n + b * m) / (n + m)
        out[at] = [
            int(node["feature_idx"]),
            round(float(node["num_threshold"]), 4),
            int(node["left"]),
            int(node["right"]),
            round(value, 4),
        ]
        return value, n + m

    visit(0)
    return out


def calibrate(rows: Sequence[dict[str, float]], labels: Sequence[bool], walks: Sequence[int]) -> list[list[float]]:
    """Chance by a judge that did not see the walk → share that was right, never falling (isotonic regression)."""
    unseen = np.zeros(len(rows))
    for k in range(FOLDS):
        judge = judging.judge_from(
            fit([r for r, w in zip(rows, walks, strict=True) if w % FOLDS != k],
                [ok for ok, w in zip(labels, walks, strict=True) if w % FOLDS != k], SMALL_SETTINGS)
        )  # fmt: skip
        at = [n for n, w in enumerate(walks) if w % FOLDS == k]
        unseen[at] = judge.chances([rows[n] for n in at])
    model = IsotonicRegression(out_of_bounds="clip").fit(unseen, np.array(labels, dtype=float))
    points = [round(n / STEPS, 3) for n in range(STEPS + 1)]
    return [[x, round(float(y), 3)] for x, y in zip(points, smooth(model.predict(points)), strict=True)]


def smooth(values: Any) -> Any:
    """The mean of each value and its neighbours, so that no two chances fall on one step."""
    padded = np.concatenate([values[:1], values, values[-1:]])
    return (padded[:-2] + padded[1:-1] + padded[2:]) / 3
