"""Fits the judge of the quick reader from labelled walkthroughs and stores it as data in the package.

    python -m tests.benchmarks.fit_reading [PATH …] [--scorer FOLDER] [--leave-out NAME,NAME] [-o weights.json]

Needs scikit-learn (only here; the package reads plain numbers). Walks whose name begins with a name in --leave-out are
not used, so that they can be scored as unread.
"""

import argparse
import json
import pathlib
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from sklearn.ensemble import HistGradientBoostingClassifier

from memo2list.reading.candidates import Candidate, Talk, candidates
from memo2list.reading.judging import WEIGHTS
from memo2list.reading.reader import look_over
from memo2list.vocabulary.lexicon import load_lexicon
from tests.benchmarks.reading import DEFAULT, scorer_at
from tests.benchmarks.walks import Walk, load, transcript

SETTINGS = {"max_iter": 160, "learning_rate": 0.06, "max_leaf_nodes": 12, "min_samples_leaf": 20, "l2_regularization": 2.0, "random_state": 7}


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


def examples(score: Any, walks: Sequence[Walk], lexicon: Any) -> Iterator[tuple[Candidate, bool]]:
    for walk in walks:
        talk = look_over(transcript(walk), lexicon)
        for options in candidates(talk):
            for candidate in options:
                yield candidate, bool(answer_of(score, walk, talk, candidate))


def fit(rows: Sequence[dict[str, float]], labels: Sequence[bool], settings: dict[str, Any] = SETTINGS) -> dict[str, Any]:
    """Trees in the stored form."""
    features = sorted({name for row in rows for name in row})
    table = np.array([[row.get(name, 0.0) for name in features] for row in rows])
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
        out[at] = [int(node["feature_idx"]), round(float(node["num_threshold"]), 4), int(node["left"]), int(node["right"]), round(value, 4)]
        return value, n + m

    visit(0)
    return out


def main(argv: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("paths", nargs="*", type=pathlib.Path, default=[DEFAULT, DEFAULT / "more", DEFAULT / "scenes"])
    parser.add_argument("--scorer", type=pathlib.Path, default=DEFAULT)
    parser.add_argument("--leave-out", default="")
    parser.add_argument("-o", "--output", type=pathlib.Path, default=WEIGHTS)
    args = parser.parse_args(argv)
    left_out = tuple(n for n in args.leave_out.split(",") if n)
    walks = [w for w in load(args.paths) if not (left_out and w.name.startswith(left_out))]
    pairs = list(examples(scorer_at(args.scorer), walks, load_lexicon()))
    print(f"{len(walks)} walks, {len(pairs)} candidates, {sum(ok for _, ok in pairs)} right")
    stored = {"pairs": fit([dict(c.features) for c, _ in pairs], [ok for _, ok in pairs])}
    args.output.write_text(json.dumps(stored, separators=(",", ":")) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
