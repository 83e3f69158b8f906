"""Fits the judge of the quick reader from labelled walkthroughs and stores it as data in the package.

    python -m tests.benchmarks.fit_reading [PATH …] [--scorer FOLDER] [--leave-out NAME,NAME] [-o judges.json]

Needs scikit-learn (only here; the package reads plain numbers). Walks whose name begins with a name in --leave-out are
not used, so that they can be scored as unread.
"""

import argparse
import json
import pathlib
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from memo2list import judging
from memo2list.judging import JUDGES, Weights
from memo2list.listing.confidence import item_features
from memo2list.listing.hazards import danger_facts, named_facts, said_facts
from memo2list.listing.list_maker import in_order, make_item, said_in
from memo2list.listing.merging import gather, pairs_to_compare
from memo2list.reading.candidates import Candidate, Talk, candidates
from memo2list.reading.reader import look_over, reading_of
from memo2list.reading.sums import summed
from memo2list.records import Finding, PunchList, Reading
from memo2list.vocabulary.lexicon import load_lexicon
from memo2list.vocabulary.tokens import split_word
from tests.benchmarks.fitting import FOLDS, SMALL_SETTINGS, calibrate, fit, fit_facts
from tests.benchmarks.reading import DEFAULT, score_walk, scorer_at
from tests.benchmarks.walks import Walk, as_scored, load, transcript

WALKS = pathlib.Path(__file__).parent.parent / "walks"
CHOICE_RIDGE = 0.15
RARE_DANGER, DANGER_RIDGE = 3, 0.3
ACCEPTED = 2  # names of an answer that are taken for what was said
PAIR_SETTINGS = {
    "max_iter": 250,
    "learning_rate": 0.05,
    "max_leaf_nodes": 16,
    "min_samples_leaf": 20,
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
        "choices": fit_facts([w for w, _ in choices], [o for _, o in choices], ridge=CHOICE_RIDGE),
    }


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
    """The judge "items" and the weights "dangers"."""
    rows, labels, walks = [], [], []
    dangers = [told for m in materials for told in answered_dangers(m.walk, lexicon)]
    for number, (material, reading) in enumerate(zip(materials, readings, strict=True)):
        listed = [(0, f) for f in in_order(reading.findings) if f.assertion.listed and f.element]
        groups = gather(listed, lexicon)
        items = [make_item(reading, g, 0.5, lexicon) for g in groups]
        result = score_walk(score, material.walk, as_scored(PunchList((), tuple(items), ())))
        rows += [dict(item_features(g.findings)) for g in groups]
        labels += [ok for _, ok in result["confidences"]]
        walks += [number] * len(groups)
        for i, j in result["pairs"]:
            facts = danger_facts(groups[j].findings, said_in(reading, groups[j].findings), lexicon)
            dangers.append((facts, material.walk.answers["items"][i]["safety"]))
    print(f"items: {len(rows)} groups, {sum(labels)} right; dangers: {sum(hurts for _, hurts in dangers)} of {len(dangers)}")
    items = fit(rows, labels, SMALL_SETTINGS) | {"calibration": calibrate(rows, labels, walks)}
    facts, hurt = [f for f, _ in dangers], [h for _, h in dangers]
    return {"items": items, "dangers": fit_facts(facts, hurt, RARE_DANGER, DANGER_RIDGE)}


def answered_dangers(walk: Walk, lexicon: Any) -> list[tuple[Sequence[str], bool]]:
    """The facts of each answer, named as the answers name it, and whether it is a matter of safety."""
    said = {turn["n"]: [t for w in turn["text"].split() for t in split_word(w)] for turn in walk.answers["turns"]}
    found: list[tuple[Sequence[str], bool]] = []
    for gold in walk.answers["items"]:
        named = [gold[kind][:ACCEPTED] for kind in ("element", "issue", "action")]
        entries = [e for name in named[0] if (e := lexicon.entry("element", name))]
        words = [w for n in gold["turns"] for w in said.get(n, ())]
        facts = [*named_facts(*named), *said_facts(words), *(f"pack {e.pack}" for e in entries)]
        found.append((tuple(dict.fromkeys(facts)), gold["safety"]))
    return found


def main(argv: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("paths", nargs="*", type=pathlib.Path, default=[WALKS / "training", WALKS / "scenes"])
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
