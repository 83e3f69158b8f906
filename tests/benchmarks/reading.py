"""Reads labelled walkthroughs as text, lists them and prints the score: one call for the quality of the quick reader.

    python -m tests.benchmarks.reading [PATH …] [--scorer FOLDER] [--each] [--misses] [--wrong] [--calibration] [--speed]

PATH is a folder or file of labelled walkthroughs (default ../shared/walkthroughs, where the scorer is too).
"""

import argparse
import importlib
import pathlib
import sys
import time
from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import Any

from memo2list import judging
from memo2list.listing import list_items
from memo2list.reading import read
from memo2list.records import PunchList
from memo2list.vocabulary.lexicon import load_lexicon
from tests.benchmarks.walks import Walk, as_scored, load, spans, transcript

DEFAULT = pathlib.Path("../shared/walkthroughs")
CHECKS = ("location", "quantity", "certainty", "action", "safety")


def scorer_at(folder: pathlib.Path) -> Any:
    if not (folder / "score.py").exists():
        sys.exit(f"{folder}: holds no score.py. Name the folder of the scorer with --scorer.")
    sys.path.insert(0, str(folder))
    scorer = importlib.import_module("score")
    scorer.key, scorer.same = lru_cache(maxsize=100_000)(scorer.key), lru_cache(maxsize=1_000_000)(scorer.same)  # only faster
    return scorer


def score_walk(score: Any, walk: Walk, listed: Sequence[dict[str, Any]]) -> dict[str, Any]:
    """The scorer's rules on one list in memory."""
    gold, when = walk.answers["items"], spans(walk.answers)
    edges = [[j for j, p in enumerate(listed) if score.right(p, g, when)] for g in gold]
    pairs = score.pairing(edges, len(gold))
    taken = set(pairs.values())
    near = [[j for j, p in enumerate(listed) if about(score, p, g, when)] for g in gold]
    traps = walk.answers.get("traps", [])
    sprung = [
        t
        for t in traps
        if t.get("element")
        and any(
            j not in taken
            and about(score, p, t, when)
            and (not t.get("issue") or score.any_same(p["issues"] + p["actions"], t["issue"]))
            for j, p in enumerate(listed)
        )
    ]
    return {
        "id": walk.name,
        "answers": len(gold),
        "listed": len(listed),
        "right": len(pairs),
        "loose": len(score.pairing(near, len(gold))),
        "duplicates": len({j for e in edges for j in e} - taken),
        "traps": len(traps),
        "sprung": len(sprung),
        "pairs": list(pairs.items()),
        "checks": checks(score, gold, listed, pairs),
        "missed": [g for i, g in enumerate(gold) if i not in pairs],
        "wrong": [p for j, p in enumerate(listed) if j not in taken],
        "sprung_list": sprung,
        "confidences": [(p["confidence"], j in taken) for j, p in enumerate(listed)],
        "unequal": [(n, gold[i], listed[j]) for i, j in pairs.items() for n in CHECKS if not check(score, n, gold[i], listed[j])],
    }


def about(score: Any, listed: dict[str, Any], answer: dict[str, Any], when: dict[int, tuple[float, float]]) -> bool:
    """The item speaks of the answer's element at its time."""
    return bool(score.overlaps(listed, answer["turns"], when) and score.any_same(score.element_names(listed), answer["element"]))


def checks(
    score: Any, gold: Sequence[dict[str, Any]], listed: Sequence[dict[str, Any]], pairs: dict[int, int]
) -> dict[str, list[int]]:
    return {name: [sum(check(score, name, gold[i], listed[j]) for i, j in pairs.items()), len(pairs)] for name in CHECKS}


def check(score: Any, name: str, g: dict[str, Any], p: dict[str, Any]) -> bool:
    tests: dict[str, Callable[[], bool]] = {
        "location": lambda: score.any_same([p["location"]], g["location"]) if g["location"] else not p["location"],
        "quantity": lambda: score.quantities(g["quantity"]) == score.quantities(p["quantities"]),
        "certainty": lambda: p["certainty"] == g["certainty"],
        "safety": lambda: p["safety"] == g["safety"],
        "action": lambda: score.any_same(p["actions"], g["action"]) if g["action"] else True,
    }
    return bool(tests[name]())


def row(score: Any, name: str, rows: list[dict[str, Any]]) -> str:
    t = score.total(rows)
    return (
        f"{name:<28} n {len(rows):>3} P {t['precision']:.3f} R {t['recall']:.3f} F1 {t['f1']:.3f} element {t['loose_f1']:.3f} "
        f"dup {t['duplicates'] / max(1, t['listed']):.3f} sprung {t['sprung'] / max(1, t['traps']):.3f} "
        + " ".join(f"{k[:4]} {v:.3f}" for k, v in t["checks"].items())
    )


def calibration(rows: list[dict[str, Any]]) -> list[str]:
    pairs = [pair for r in rows for pair in r["confidences"]]
    out = []
    for low, high in ((0, 0.5), (0.5, 0.6), (0.6, 0.7), (0.7, 0.8), (0.8, 0.9), (0.9, 1.01)):
        inside = [ok for c, ok in pairs if low <= c < high]
        out.append(
            f"confidence {low:.1f}..{min(high, 1):.1f}: {len(inside):>5} items, {sum(inside) / max(1, len(inside)):.3f} right"
        )
    return out


def details(r: dict[str, Any], misses: bool, wrong: bool) -> list[str]:
    lines = []
    if misses:
        lines += [
            f"   missed: {g['element'][0]} | {'/'.join(g['issue'][:2] + g['action'][:2])} | turns {g['turns']}"
            for g in r["missed"]
        ]
    if wrong:
        lines += [
            f"   wrong:  {w['element']} | {w['issues']} {w['actions']} | {[q['text'][:90] for q in w['quotes']][:2]}"
            for w in r["wrong"]
        ]
    return lines


def unequal(name: str, gold: dict[str, Any], listed: dict[str, Any]) -> str:
    field = {"quantity": "quantities", "action": "actions"}.get(name, name)
    what = f"{gold['element'][0]}/{(gold['issue'] or gold['action'])[0]}"
    return f"   {name}: {what} wanted {gold[name]} got {listed[field]}"


def list_walk(walk: Walk, lexicon: Any) -> PunchList:
    return list_items([read(transcript(walk), lexicon)], lexicon)


def main(argv: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("paths", nargs="*", type=pathlib.Path, default=[DEFAULT])
    parser.add_argument("--scorer", type=pathlib.Path, default=DEFAULT)
    parser.add_argument("--judges", type=pathlib.Path, default=judging.JUDGES, help="other fitted judges than the stored ones")
    for flag in ("each", "misses", "wrong", "calibration", "speed", "unequal"):
        parser.add_argument(f"--{flag}", action="store_true")
    args = parser.parse_args(argv)
    judging.JUDGES = args.judges
    score, lexicon = scorer_at(args.scorer), load_lexicon()
    walks = load(args.paths)
    if not walks:
        sys.exit(f"no labelled walkthrough in {', '.join(map(str, args.paths))}")
    began = time.perf_counter()
    rows = [(walk, score_walk(score, walk, as_scored(list_walk(walk, lexicon)))) for walk in walks]
    took = time.perf_counter() - began
    for _, r in rows:
        if args.each:
            print(row(score, r["id"], [r]))
        print(*details(r, args.misses, args.wrong), sep="\n", end="\n" if args.misses or args.wrong else "")
        if args.unequal:
            print(*(unequal(*case) for case in r["unequal"]), sep="\n")
    for name, group in (
        ("solo", [r for w, r in rows if w.solo]),
        ("dialogue", [r for w, r in rows if not w.solo]),
        ("all", [r for _, r in rows]),
    ):
        if group:
            print(row(score, name, group))
    if args.calibration:
        print(*calibration([r for _, r in rows]), sep="\n")
    if args.speed:
        words = sum(len(t["text"].split()) for w in walks for t in w.answers["turns"])
        print(f"{words} words in {took:.2f} s with scoring: {words / took:.0f} words a second")


if __name__ == "__main__":
    main()
