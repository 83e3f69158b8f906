"""How much of what the answers name the vocabulary can see at all: the ceiling of recall, and the names it lacks.

python -m tests.benchmarks.coverage [PATH …] [--scorer FOLDER] [--lacking N]
"""

import argparse
import pathlib
from collections import Counter
from collections.abc import Sequence
from typing import Any

from memo2list.reading.candidates import Talk
from memo2list.reading.reader import look_over
from memo2list.vocabulary.lexicon import load_lexicon
from tests.benchmarks.reading import DEFAULT, scorer_at
from tests.benchmarks.walks import Walk, load, transcript


def mentions_in(talk: Talk, walk: Walk, turns: Sequence[int], *kinds: str) -> list[str]:
    """Names and words of the mentions in some turns."""
    at = {t["n"]: n for n, t in enumerate(t for t in walk.answers["turns"] if t["text"].split())}
    ranges = [talk.transcript.turns[at[n]].words for n in turns if n in at]
    known = [k for s in talk.stages for k in s.of_kind(*kinds) if any(k.words.overlaps(r) for r in ranges)]
    return [name for k in known for name in (k.name, k.mention.said)]


def main(argv: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("paths", nargs="*", type=pathlib.Path, default=[DEFAULT])
    parser.add_argument("--scorer", type=pathlib.Path, default=DEFAULT)
    parser.add_argument("--lacking", type=int, default=0)
    args = parser.parse_args(argv)
    score, lexicon = scorer_at(args.scorer), load_lexicon()
    seen: Counter[str] = Counter()
    lacking: dict[str, Counter[str]] = {"element": Counter(), "issue": Counter(), "action": Counter()}
    for walk in load(args.paths):
        talk = look_over(transcript(walk), lexicon)
        for gold in walk.answers["items"]:
            count(score, walk, talk, gold, seen, lacking)
    for name in ("element", "issue", "action", "both"):
        print(f"{name:<8} seen in {seen[name]} of {seen[name + ' wanted']}: {seen[name] / max(1, seen[name + ' wanted']):.3f}")
    for name, names in lacking.items():
        if args.lacking:
            print(f"--- {name}:", *(f"{n} ({c})" if c > 1 else n for n, c in names.most_common(args.lacking)), sep="; ")


def count(score: Any, walk: Walk, talk: Talk, gold: dict[str, Any], seen: Counter[str], lacking: dict[str, Counter[str]]) -> None:
    found = {
        "element": score.any_same(mentions_in(talk, walk, gold["turns"], "element"), gold["element"]),
        "issue": score.any_same(mentions_in(talk, walk, gold["turns"], "problem"), gold["issue"]),
        "action": score.any_same(mentions_in(talk, walk, gold["turns"], "action"), gold["action"]),
    }
    for name, ok in found.items():
        if gold[name]:
            seen[name] += ok
            seen[f"{name} wanted"] += 1
            if not ok:
                lacking[name]["/".join(gold[name][:4])] += 1
    seen["both wanted"] += 1
    seen["both"] += found["element"] and (found["issue"] or (found["action"] and not gold["issue"]))


if __name__ == "__main__":
    main()
