"""Counts what is said on the training walkthroughs, for memo2list/hearing/site_talk.py.

    python -m tests.benchmarks.fit_site_talk [--without NAME,NAME] [--out FILE] [--score FOLDER]

What was said once is left out. --score tells the perplexity on the walkthroughs of a folder.
"""

import argparse
import gzip
import json
import math
import pathlib
from collections import Counter

from memo2list.hearing.site_talk import FILE, START, as_text, from_lines, spoken

TRAINING = pathlib.Path(__file__).parents[1] / "walks" / "training"
LEAST = 2


def lines_of(folder: pathlib.Path, without: frozenset[str] = frozenset()) -> list[list[str]]:
    """The turns of all walkthroughs of a folder as words."""
    walks = (json.loads(p.read_text(encoding="utf-8")) for p in sorted(folder.glob("*.json")) if p.stem not in without)
    return [spoken(t["text"]) for walk in walks for t in walk.get("turns", ())]


def counted(lines: list[list[str]]) -> dict[tuple[str, ...], int]:
    """How often words, pairs and triples are said, at least `LEAST` times; a turn begins with two starts."""
    found: Counter[tuple[str, ...]] = Counter()
    for line in lines:
        said = (START, START, *line)
        for length in (1, 2, 3):
            found.update(said[n : n + length] for n in range(len(said) - length + 1))
    return {gram: count for gram, count in found.items() if count >= LEAST}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--without", default="")
    parser.add_argument("--out", type=pathlib.Path, default=FILE)
    parser.add_argument("--score", type=pathlib.Path)
    args = parser.parse_args()
    text = as_text(counted(lines_of(TRAINING, frozenset(args.without.split(",")))))
    args.out.write_bytes(gzip.compress(text.encode(), mtime=0))
    print(f"{text.count(chr(10))} counts, {args.out.stat().st_size // 1024} KB → {args.out.name}")
    if args.score:
        talk, lines = from_lines(text.splitlines()), lines_of(args.score)
        words = sum(map(len, lines))
        print(f"perplexity {math.exp(-sum(talk.log_probability(line) for line in lines) / words):.0f} on {words} words")


if __name__ == "__main__":
    main()
