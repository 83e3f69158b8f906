"""Fits the judge of the quick reader from labelled walkthroughs and stores it as data in the package.

    python -m tests.benchmarks.fit_reading [PATH …] [--scorer FOLDER] [--leave-out NAME,NAME] [-o judges.json]

Needs scikit-learn (only here; the package reads plain numbers). Walks whose name begins with a name in --leave-out are
not used, so that they can be scored as unread.
"""

import argparse
import json
import pathlib
import tempfile
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.sparse import csr_matrix
from sklearn.ensemble import HistGradientBoostingClassifier
from sklearn.isotonic import IsotonicRegression
from sklearn.linear_model import LogisticRegression

from memo2list import judging
from memo2list.judging import JUDGES, Weights
from memo2list.listing.confidence import item_features
from memo2list.listing.hazards import hazard_features
from memo2list.listing.list_maker import in_order, make_item
from memo2list.listing.merging import gather, pairs_to_compare
from memo2list.reading.candidates import Candidate, Talk, candidates
from memo2list.reading.reader import look_over, reading_of
from memo2list.reading.sums import summed
from memo2list.records import Finding, PunchList, Reading
from memo2list.vocabulary.lexicon import load_lexicon
from tests.benchmarks.reading import DEFAULT, score_walk, scorer_at
from tests.benchmarks.walks import Walk, as_scored, load, transcript

RARE = 250  # a feature seen less often is left out
RARE_FACT = 6  # the same for named facts
RIDGE = 0.05
SMALLEST = 0.01  # weights below are not kept
FOLDS = 3
STEPS = 20  # of the calibration
PAIR_SETTINGS = {
    "max_iter": 250,
    "learning_rate": 0.05,
    "max_leaf_nodes": 16,
    "min_samples_leaf": 20,
    "l2_regularization": 2.0,
    "random_state": 7,
}
SMALL_SETTINGS = {
    "max_iter": 120,
    "learning_rate": 0.05,
    "max_leaf_nodes": 8,
    "min_samples_leaf": 25,
    "l2_regularization": 2.0,
    "random_state": 7,
}


def turn_of(walk: Walk, talk: Talk, word: int) -> int:
    """The walkthrough's own number of the turn that holds a word."""
    spoken = [t["n"] for t in walk.answers["turns"] if t["text"].split()]
    firsts = [t.words.first for t in talk.transcript.turns]
    return spoken[int(np.searchsorted(firsts, word, side="right")) - 1]


def names(known: Any) -> list[str]:
    return [known.name, known.mention.said]


def answer_of(score: Any, walk: Walk, talk: Talk, candidate: Candidate) -> list[int]:
    """Numbers of the answers a candidate is evidence for."""
    claim_turn, element_turn = turn_of(walk, talk, candidate.words.first), turn_of(walk, talk, candidate.element.words.first)
    return [
        n
        for n, gold in enumerate(walk.answers["items"])
        if claim_turn in gold["turns"]
        and (element_turn in gold["turns"] or abs(element_turn - claim_turn) <= 3)
        and score.any_same(names(candidate.element), gold["element"])
        and score.any_same(names(candidate.claim), gold["issue"] if candidate.claim.kind == "problem" else gold["action"])
    ]


@dataclass(frozen=True)
class Material:
    """A walk made ready for fitting: its candidates, grouped by claim, and which of them are right."""

    walk: Walk
    talk: Talk
    groups: tuple[tuple[Candidate, ...], ...]
    right: tuple[tuple[bool, ...], ...]


def prepare(score: Any, walk: Walk, lexicon: Any) -> Material:
    talk = look_over(transcript(walk), lexicon)
    groups = tuple(candidates(talk))
    return Material(walk, talk, groups, tuple(tuple(bool(answer_of(score, walk, talk, c)) for c in g) for g in groups))


def fit_pairs(materials: Sequence[Material]) -> dict[str, Any]:
    """The weights "claims" and "choices" and the judge "pairs"; the judge sees sums by weights that did not see the walk."""
    fold = [n % FOLDS for n in range(len(materials))]
    rows, labels = [], []
    for k in range(FOLDS):
        weights = fit_weights([m for m, f in zip(materials, fold, strict=True) if f != k])
        for m in (m for m, f in zip(materials, fold, strict=True) if f == k):
            for group in with_weights(m, weights):
                rows += [c.features for c in group]
            labels += [ok for g in m.right for ok in g]
    return {"pairs": fit(rows, labels, PAIR_SETTINGS), **fit_weights(materials)}


def with_weights(material: Material, stored: dict[str, Any]) -> list[tuple[Candidate, ...]]:
    claims, choices = (Weights(stored[name]["base"], stored[name]["weights"]) for name in ("claims", "choices"))
    return summed(material.groups, claims, choices)


def fit_weights(materials: Sequence[Material]) -> dict[str, Any]:
    groups = [(g, ok) for m in materials for g, ok in zip(m.groups, m.right, strict=True) if g]
    choices = [(c.choice_words, o) for g, ok in groups if any(ok) for c, o in zip(g, ok, strict=True)]
    return {
        "claims": fit_facts([g[0].claim_words for g, _ in groups], [any(ok) for _, ok in groups]),
        "choices": fit_facts([w for w, _ in choices], [o for _, o in choices]),
    }


def fit_facts(rows: Sequence[Sequence[str]], labels: Sequence[bool]) -> dict[str, Any]:
    """Weights by logistic regression with ridge penalty; facts seen seldom are left out."""
    seen = Counter(fact for row in rows for fact in row)
    column = {fact: n for n, fact in enumerate(sorted(f for f, times in seen.items() if times >= RARE_FACT))}
    at = [[column[f] for f in row if f in column] for row in rows]
    starts = np.cumsum([0, *map(len, at)])
    flat = np.concatenate([np.array(a, dtype=np.int32) for a in at])
    table = csr_matrix((np.ones(len(flat), dtype=np.float64), flat, starts), shape=(len(rows), len(column)))
    model = LogisticRegression(C=RIDGE, solver="liblinear").fit(table, np.array(labels))
    found = model.coef_[0]
    weights = {fact: round(float(found[n]), 3) for fact, n in column.items() if abs(found[n]) >= SMALLEST}
    return {"base": round(float(model.intercept_[0]), 4), "weights": weights}


def answers_of(score: Any, walk: Walk, talk: Talk, finding: Finding) -> set[int]:
    """Numbers of the answers a finding is evidence for."""
    turn = turn_of(walk, talk, finding.words.first)
    element = [finding.element.entry, finding.element.said] if finding.element else []
    problems, actions = [[n for m in ms for n in (m.entry, m.said)] for ms in (finding.problems, finding.actions)]
    return {
        n
        for n, gold in enumerate(walk.answers["items"])
        if turn in gold["turns"]
        and score.any_same(element, gold["element"])
        and (score.any_same(problems, gold["issue"]) or score.any_same(actions, gold["action"]))
    }


def read_with(judges: dict[str, Any], materials: Sequence[Material], folder: pathlib.Path) -> list[Reading]:
    """Readings of the materials by other judges than the stored ones."""
    use(judges, folder)
    return [reading_of(m.talk) for m in materials]


def use(judges: dict[str, Any], folder: pathlib.Path) -> None:
    path = folder / f"{len(list(folder.iterdir()))}.json"
    path.write_text(json.dumps(judges), encoding="utf-8")
    judging.JUDGES = path


def fit_merge(score: Any, materials: Sequence[Material], readings: Sequence[Reading], lexicon: Any) -> dict[str, Any]:
    rows, labels = [], []
    for material, reading in zip(materials, readings, strict=True):
        listed = [(0, f) for f in in_order(reading.findings) if f.assertion.listed and f.element]
        about = [answers_of(score, material.walk, material.talk, f) for _, f in listed]
        for pair in pairs_to_compare(listed, lexicon):
            if about[pair.earlier] and about[pair.later]:
                rows.append(pair.features)
                labels.append(bool(about[pair.earlier] & about[pair.later]))
    print(f"merge: {len(rows)} pairs, {sum(labels)} of one item")
    return {"merge": fit(rows, labels, SMALL_SETTINGS)}


def fit_items(score: Any, materials: Sequence[Material], readings: Sequence[Reading], lexicon: Any) -> dict[str, Any]:
    """The judges "items" and "safety"."""
    rows, labels, walks, hazards, hurt = [], [], [], [], []
    for number, (material, reading) in enumerate(zip(materials, readings, strict=True)):
        listed = [(0, f) for f in in_order(reading.findings) if f.assertion.listed and f.element]
        groups = gather(listed, lexicon)
        items = [make_item(reading, g, 0.5, lexicon) for g in groups]
        result = score_walk(score, material.walk, as_scored(PunchList((), tuple(items), ())))
        rows += [dict(item_features(g.findings)) for g in groups]
        labels += [ok for _, ok in result["confidences"]]
        walks += [number] * len(groups)
        hazards += [dict(hazard_features(groups[j].findings, lexicon)) for _, j in result["pairs"]]
        hurt += [material.walk.answers["items"][i]["safety"] for i, _ in result["pairs"]]
    print(f"items: {len(rows)} groups, {sum(labels)} right, {sum(hurt)} of them a matter of safety")
    items = fit(rows, labels, SMALL_SETTINGS) | {"calibration": calibrate(rows, labels, walks)}
    return {"items": items, "safety": fit(hazards, hurt, SMALL_SETTINGS, rare=12)}


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


def main(argv: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("paths", nargs="*", type=pathlib.Path, default=[DEFAULT, DEFAULT / "more", DEFAULT / "scenes"])
    parser.add_argument("--scorer", type=pathlib.Path, default=DEFAULT)
    parser.add_argument("--leave-out", default="")
    parser.add_argument("-o", "--output", type=pathlib.Path, default=JUDGES)
    args = parser.parse_args(argv)
    left_out = tuple(n for n in args.leave_out.split(",") if n)
    walks = [w for w in load(args.paths) if not (left_out and w.name.startswith(left_out))]
    score, lexicon = scorer_at(args.scorer), load_lexicon()
    materials = [prepare(score, walk, lexicon) for walk in walks]
    right = sum(ok for m in materials for g in m.right for ok in g)
    print(f"{len(walks)} walks, {sum(len(g) for m in materials for g in m.groups)} candidates, {right} right")
    halves = (materials[::2], materials[1::2])
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        readings = [read_with(fit_pairs(halves[1 - n]), halves[n], folder) for n in (0, 1)]
        unseen, mixed = readings[0] + readings[1], [*halves[0], *halves[1]]
        merge = fit_merge(score, mixed, unseen, lexicon)
        use(merge, folder)
        items = fit_items(score, mixed, unseen, lexicon)
    stored = {**fit_pairs(materials), **merge, **items}
    args.output.write_text(json.dumps(stored, separators=(",", ":")) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
