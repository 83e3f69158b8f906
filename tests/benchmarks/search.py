"""Judged queries over made-up jobs: nDCG@10, recall@10 and MRR for plain FTS5, widened by the lexicon, and fused.

    python -m tests.benchmarks search [--items N] [--speed N,N,…] [--misses]

Grades: 3 the same element and problem (or action, where the query names no problem), and material or place if asked;
2 the same problem of a kin element or part, or all but the material or place; 1 the same element with another problem.
The queries use other words than the titles, as a person would. The corpus and grades come from the lexicon, which the
widened ranking uses as well: this shows that the machinery works on what the lexicon knows, not how people search.
"""

import argparse
import math
import pathlib
import random
import statistics
import tempfile
import time
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from memo2list.exports.plot import bars
from memo2list.store import Store, open_store
from memo2list.store.query import forms_of
from memo2list.store.search import How
from memo2list.vocabulary.entries import Entry
from memo2list.vocabulary.lexicon import load_lexicon
from tests.benchmarks.search_corpus import Made, fill, make, spoken

HOWS: tuple[How, ...] = ("plain", "expanded", "fused")
KINDS = ("names", "other words", "question", "misspelt", "material", "place", "work", "element only")
PER_KIND = 9
ASK = (
    "{element} with {problem} what did we do",
    "have we had {problem} on a {element} before",
    "last time a {element} was {problem}",
    "how did I fix the {problem} {element}",
)


@dataclass(frozen=True)
class Judged:
    kind: str
    text: str
    element: Entry
    problem: Entry | None
    action: Entry | None = None
    material: Entry | None = None
    place: Entry | None = None


def misspelt(rng: random.Random, text: str) -> str:
    """Two neighbouring letters of the longest word changed over."""
    words = text.split()
    longest = max(range(len(words)), key=lambda n: len(words[n]))
    word = words[longest]
    at = rng.randrange(1, max(2, len(word) - 2))
    words[longest] = word[:at] + word[at + 1 : at + 2] + word[at] + word[at + 2 :]
    return " ".join(words)


def other(rng: random.Random, entry: Entry) -> str:
    """A way to say it that is not its name, if there is one."""
    return rng.choice(forms_of(entry)[1:] or forms_of(entry))


def queries(made: Sequence[Made], seed: int = 5) -> list[Judged]:
    """PER_KIND queries of each kind, each about something that was made."""
    rng = random.Random(seed)
    whole = [m for m in made if m.problem]
    out = []
    for kind in KINDS:
        pool = [m for m in made if not m.problem] if kind == "work" else [m for m in whole if m.material or kind != "material"]
        out += [judged(rng, kind, m) for m in rng.sample(pool, PER_KIND)]
    return out


def judged(rng: random.Random, kind: str, m: Made) -> Judged:
    problem = other(rng, m.problem) if m.problem else ""
    element = other(rng, m.element)
    named = f"{m.element.name} {m.problem.name}" if m.problem else m.element.name
    texts = {
        "names": named,
        "other words": f"{problem} {element}",
        "question": rng.choice(ASK).format(element=element, problem=problem),
        "misspelt": misspelt(rng, named),
        "material": f"{problem} {m.material.name if m.material else ''} {element}",
        "place": f"{element} {problem} {spoken(rng, m.place)}",
        "work": f"{other(rng, m.action)} {element}",
        "element only": element,
    }
    return Judged(
        kind,
        texts[kind],
        m.element,
        m.problem if kind not in ("work", "element only") else None,
        m.action if kind == "work" else None,
        m.material if kind == "material" else None,
        m.place if kind == "place" else None,
    )


def kin(a: Entry, b: Entry) -> bool:
    """One is a kind or part of the other, or both are kinds of the same."""
    return a.name in (b.kind_of, b.part_of) or b.name in (a.kind_of, a.part_of) or bool(a.kind_of and a.kind_of == b.kind_of)


def grade(query: Judged, m: Made) -> int:
    same = m.element.name == query.element.name
    claim = (query.problem is None or query.problem == m.problem) and (query.action is None or query.action == m.action)
    detail = (query.material is None or query.material == m.material) and (query.place is None or query.place == m.place)
    if same and claim:
        return 3 if detail else 2
    asked = query.problem is not None or query.action is not None
    if claim and kin(query.element, m.element):
        return 2 if asked else 1
    return 1 if same and asked else 0


def ndcg(grades: Sequence[int], best: Sequence[int], depth: int = 10) -> float:
    """Gain 2^grade - 1, discount log2(rank + 1) (Järvelin and Kekäläinen 2002, in the form of Burges et al. 2005)."""
    gain = sum((2**g - 1) / math.log2(rank + 1) for rank, g in enumerate(grades[:depth], 1))
    ideal = sum((2**g - 1) / math.log2(rank + 1) for rank, g in enumerate(sorted(best, reverse=True)[:depth], 1))
    return gain / ideal if ideal else 0.0


def measures(found: Sequence[int], best: Sequence[int]) -> tuple[float, float, float]:
    """nDCG@10, recall@10 of the best grade there is, and the reciprocal rank of the first of that grade."""
    top = max(best)
    wanted = min(10, sum(g == top for g in best))
    first = next((1 / rank for rank, g in enumerate(found, 1) if g == top), 0.0)
    return ndcg(found, best), sum(g == top for g in found) / wanted, first


def score(
    store: Store, made: Sequence[Made], asked: Sequence[Judged], how: How, misses: bool = False
) -> dict[str, list[tuple[float, ...]]]:
    """(nDCG@10, recall@10, reciprocal rank) of each query, by its kind and under "all"."""
    truth = {m.item.key: m for m in made}
    out: dict[str, list[tuple[float, ...]]] = defaultdict(list)
    for query in asked:
        best = [g for m in made if (g := grade(query, m))]
        values = measures([grade(query, truth[f.key]) for f in store.search(query.text, limit=10, how=how).found], best)
        out[query.kind].append(values)
        out["all"].append(values)
        if misses and how == "fused" and values[0] < 0.6:
            print(
                f"  {values[0]:.2f} {query.kind}: {query.text!r} ({query.element.name}, {query.problem and query.problem.name})"
            )
    return out


def quality(items: int, misses: bool) -> None:
    lexicon = load_lexicon()
    made = list(make(lexicon, items))
    asked = queries(made)
    print(f"{len(asked)} judged queries over {items} items")
    print(f"{'':<14}" + "".join(f"{how:^24}" for how in HOWS))
    print(f"{'':<14}" + f"{'nDCG@10':>8}{'rec@10':>8}{'MRR':>8}" * len(HOWS))
    with tempfile.TemporaryDirectory() as folder, open_store(folder, lexicon) as store:
        fill(store, made)
        results = {how: score(store, made, asked, how, misses) for how in HOWS}
    for kind in (*KINDS, "all"):
        means = [statistics.mean(column) for how in HOWS for column in zip(*results[how][kind], strict=True)]
        print(f"{kind:<14}" + "".join(f"{value:8.3f}" for value in means))


def in_peoples_words() -> None:
    """The same three ways over the labelled walkthroughs, asked in the words of the people who labelled them."""
    from tests.benchmarks import search_walks as walks

    with tempfile.TemporaryDirectory() as folder, open_store(folder, load_lexicon()) as store:
        truth = walks.fill_with_walks(store)
        asked = walks.people_ask(truth)
        print(f"\n{len(asked)} queries in people's words over {len(truth)} items of {len(store.jobs())} labelled walkthroughs")
        for how in HOWS:
            rows = []
            for query in asked:
                best = sorted((walks.grade(query, gold) for gold in truth.values()), reverse=True)
                hits = store.search(query.text, limit=10, how=how).found
                rows.append(measures([walks.grade(query, truth[h.job, h.number]) for h in hits], best))
            print(f"{how:<14}" + "".join(f"{statistics.mean(column):8.3f}" for column in zip(*rows, strict=True)))


def speed(sizes: Sequence[int], plot: pathlib.Path | None = None) -> None:
    """Time to build, size of the file, and p50/p95 of searching and of finding similar items, warm, as processor time."""
    lexicon, drawn = load_lexicon(), []
    print(f"\n{'items':>9}{'build s':>9}{'MB':>8}{'search p50':>12}{'p95 ms':>8}{'similar p50':>13}{'p95 ms':>8}")
    for size in sizes:
        with tempfile.TemporaryDirectory() as folder, open_store(folder, lexicon) as store:
            began = time.perf_counter()
            made = []
            for m in make(lexicon, size):
                made.append(m)
                if len(made) == 10_000:
                    _more(store, made)
                    made = []
            _more(store, made)
            built = time.perf_counter() - began
            megabytes = sum(p.stat().st_size for p in pathlib.Path(folder).iterdir()) / 1e6
            (found, most), (alike, longest) = _times(store, size)
            drawn += [(f"{size:,} items: search p95 ms", round(most)), (f"{size:,} items: similar p95 ms", round(longest))]
            print(f"{size:>9}{built:9.1f}{megabytes:8.1f}{found:12.1f}{most:8.1f}{alike:13.1f}{longest:8.1f}", flush=True)
    if plot:
        plot.write_text(bars(drawn, "How search grows"), encoding="utf-8")


def _more(store: Store, made: Sequence[Made]) -> None:
    """Jobs go on where the last block stopped."""
    if made:
        row = store.db.row("SELECT count(*) AS jobs FROM jobs")
        fill(store, made, row["jobs"] if row else 0)


def _times(store: Store, size: int) -> list[tuple[float, float]]:
    """(p50, p95) of searching, and of finding similar items, in milliseconds of processor time."""
    asked = queries(list(make(load_lexicon(), 2000)))
    rng = random.Random(3)
    numbers = [rng.randrange(size) for _ in range(100)]
    columns = []
    for calls in (
        [lambda q=q: store.search(q.text) for q in asked],
        [lambda n=n: store.similar(f"job {n // 20}", f"k{n + 1}", other_jobs=True) for n in numbers],
    ):
        for call in calls:
            call()
        took = sorted(_milliseconds(call) for call in calls)
        columns.append((statistics.median(took), took[int(len(took) * 0.95)]))
    return columns


def _milliseconds(call: object) -> float:
    began = time.process_time()
    call()  # type: ignore[operator]
    return (time.process_time() - began) * 1000


def main(words: Sequence[str]) -> int:
    parser = argparse.ArgumentParser(
        prog="tests.benchmarks search", description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--items", type=int, default=3000)
    parser.add_argument("--speed", default="")
    parser.add_argument("--plot", type=pathlib.Path, help="an SVG file for how it grows")
    parser.add_argument("--misses", action="store_true")
    args = parser.parse_args(words)
    quality(args.items, args.misses)
    in_peoples_words()
    if args.speed:
        speed([int(n) for n in args.speed.split(",")], args.plot)
    return 0
