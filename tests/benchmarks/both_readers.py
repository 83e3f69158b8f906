"""Quick, deep and both readers on labelled walkthroughs as text, from answers of the deep model recorded once.

    python -m tests.benchmarks.both_readers [FOLDER …] [--scorer FOLDER] [--each] [--misses] [--wrong] [--calibration] [--fit]
    python -m tests.benchmarks.both_readers FOLDER … --record     # asks the converted model: minutes a walkthrough on two cores

FOLDER is one under tests/walks (default check and calibration; nothing was tuned on either). Recorded answers lie in
tests/benchmarks/answers, by prompt; where reading now asks something else, the windows without an answer are counted.
--fit fits the weights of `listing.agreement.confidence` on the folders and prints them with a table from walkthroughs left out.
"""

import argparse
import hashlib
import json
import pathlib
import random
import re
import sys
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from memo2list.listing import agreement, list_items
from memo2list.reading import read
from memo2list.reading.deep.model import Answerer, RowText
from memo2list.reading.deep.reader import read_deep
from memo2list.records import PunchList
from memo2list.vocabulary.lexicon import load_lexicon
from tests.benchmarks.reading import DEFAULT, calibration, details, row, score_walk, scorer_at
from tests.benchmarks.walks import Walk, as_scored, load
from tests.training import samples

WALKS = pathlib.Path(__file__).parent.parent / "walks"
ANSWERS = pathlib.Path(__file__).parent / "answers"
PLACE = re.compile(r" Place so far: .*?\.\n")  # what the quick reader adds to a prompt; answers hardly depend on it


def key(prompt: str) -> str:
    return hashlib.sha256(PLACE.sub("\n", prompt, count=1).encode()).hexdigest()[:16]


@dataclass
class Recorded:
    """Answers by prompt; what is not there is asked of `model`, or counted."""

    answers: dict[str, list[tuple[str, float, float]]]
    model: Answerer | None = None
    missing: int = 0
    asked: dict[str, list[tuple[str, float, float]]] = field(default_factory=dict)

    def answer(self, prompts: Sequence[str]) -> list[tuple[RowText, ...]]:
        return [self._one(prompt) for prompt in prompts]

    def _one(self, prompt: str) -> tuple[RowText, ...]:
        at = key(prompt)
        if at not in self.answers and self.model:
            (rows,) = self.model.answer([prompt])
            self.answers[at] = [(r.text, round(r.mean, 4), round(r.least, 4)) for r in rows]
        if at not in self.answers:
            self.missing += 1
            return ()
        self.asked[at] = self.answers[at]
        return tuple(RowText(*made) for made in self.answers[at])


def recorded(folder: str, model: Answerer | None = None) -> Recorded:
    path = ANSWERS / f"{folder}.json"
    return Recorded(json.loads(path.read_text(encoding="utf-8")) if path.is_file() else {}, model)


def keep(folder: str, answers: Recorded) -> None:
    """Only what is asked now is kept."""
    ANSWERS.mkdir(exist_ok=True)
    rows = ",\n".join(f" {json.dumps(k)}: {json.dumps(v, ensure_ascii=False)}" for k, v in sorted(answers.asked.items()))
    (ANSWERS / f"{folder}.json").write_text("{\n" + rows + "\n}\n", encoding="utf-8")


def lists(walk: Walk, lexicon: Any, model: Answerer) -> dict[str, PunchList]:
    """The list of each reader, and of both."""
    heard = samples.talk(walk.answers, samples.PLAIN, random.Random(0)).transcript
    quick = list_items([read(heard, lexicon)], lexicon)
    deep = list_items([read_deep(heard, lexicon, model)], lexicon)
    return {"quick": quick, "deep": deep, "both": agreement.both(quick, deep)}


@dataclass(frozen=True)
class Scored:
    """One walkthrough under one reader: its list and the scorer's row."""

    walk: Walk
    made: PunchList
    row: dict[str, Any]


def scored(folders: Sequence[str], score: Any, model: Answerer | None) -> dict[str, list[Scored]]:
    lexicon = load_lexicon()
    out: dict[str, list[Scored]] = {"quick": [], "deep": [], "both": []}
    for folder in folders:
        answers = recorded(folder, model)
        for walk in load([WALKS / folder]):
            for reader, made in lists(walk, lexicon, answers).items():
                out[reader].append(Scored(walk, made, score_walk(score, walk, as_scored(made))))
            if model:
                keep(folder, answers)
        if answers.missing:
            print(f"{folder}: {answers.missing} windows have no recorded answer; --record asks the model.", file=sys.stderr)
    return out


def fit(found: Sequence[Scored]) -> list[str]:
    """Weights of the confidence by both readers, and how right they are on walkthroughs left out of the fit."""
    import numpy as np
    from sklearn.linear_model import LogisticRegression

    cases = [
        (agreement.features(item), ok, n)
        for n, one in enumerate(found)
        for item, (_, ok) in zip(one.made.items, one.row["confidences"], strict=True)
        if agreement.is_deep(item)
    ]
    names = list(cases[0][0])
    x = np.array([[case[name] for name in names] for case, _, _ in cases])
    y, group = np.array([ok for _, ok, _ in cases]), np.array([n for _, _, n in cases])

    def learnt(kept: Any) -> Any:
        return LogisticRegression(C=0.5, max_iter=1000).fit(x[kept], y[kept])

    chance = np.zeros(len(y))
    for n in set(group.tolist()):
        chance[group == n] = learnt(group != n).predict_proba(x[group == n])[:, 1]
    whole = learnt(group >= 0)
    weights = dict(zip(names, whole.coef_[0].round(2).tolist(), strict=True)) | {"": round(float(whole.intercept_[0]), 2)}
    return [f"WEIGHTS = {weights}", *calibration([{"confidences": list(zip(chance, y, strict=True))}])]


def the_model() -> Answerer:
    from memo2list.reading.deep.loading import converted_folder
    from memo2list.reading.deep.loading import load as load_model

    folder = converted_folder()
    if folder is None:
        sys.exit("the reader's model is not converted here: `memo2list models --fetch reader` first.")
    return load_model(folder)


def main(argv: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folders", nargs="*", default=["check", "calibration"])
    parser.add_argument("--scorer", type=pathlib.Path, default=DEFAULT)
    for flag in ("each", "misses", "wrong", "calibration", "fit", "record"):
        parser.add_argument(f"--{flag}", action="store_true")
    args = parser.parse_args(argv)
    found = scored(args.folders, scorer_at(args.scorer), the_model() if args.record else None)
    score = sys.modules["score"]
    for one in found["both"]:
        if args.each:
            print(row(score, one.walk.name, [one.row]))
        print(*details(one.row, args.misses, args.wrong), sep="\n", end="\n" if args.misses or args.wrong else "")
    for reader, ones in found.items():
        print(row(score, reader, [one.row for one in ones]))
    if args.calibration:
        print(*calibration([one.row for one in found["both"]]), sep="\n")
    if args.fit:
        print(*fit(found["both"]), sep="\n")


if __name__ == "__main__":
    main()
