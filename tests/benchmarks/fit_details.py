"""Fits what chooses the place and the measures of an item from labelled walkthroughs, and stores it as data in the package.

    python -m tests.benchmarks.fit_details [PATH …] [--scorer FOLDER] [--check] [-o details.json]

Needs scikit-learn (only here). Items are listed by judges of the quick reader that did not see the walk, as they will be
in use. --check also prints how many items get the right place and measures by what did not see their walk (4 folds).
"""

import argparse
import json
import pathlib
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from memo2list import judging
from memo2list.judging import Weights, judge_from
from memo2list.listing import weighing
from memo2list.listing.amounts import chosen_amounts, measure_options
from memo2list.listing.confidence import chance_of
from memo2list.listing.details import told_order
from memo2list.listing.list_maker import LISTED_FROM, in_order, make_item
from memo2list.listing.merging import gather
from memo2list.listing.remedies import adopt_remedies
from memo2list.listing.weighing import Option, Scale, with_sums
from memo2list.listing.whereabouts import among_neighbours, chosen_places, place_options
from memo2list.reading.reader import reading_of
from memo2list.records import Finding, PunchList, Quantity, Reading
from memo2list.vocabulary.lexicon import load_lexicon
from tests.benchmarks.fit_reading import fit, fit_facts, fit_pairs, prepare, use
from tests.benchmarks.reading import DEFAULT, score_walk, scorer_at
from tests.benchmarks.walks import Walk, as_scored, load

WALKS = pathlib.Path("tests/walks")
FOLDS = 4
INNER = 3  # folds in which the sums of facts are made
RARE = 30
SETTINGS = {
    "max_iter": 200,
    "learning_rate": 0.05,
    "max_leaf_nodes": 12,
    "min_samples_leaf": 20,
    "l2_regularization": 2.0,
    "random_state": 7,
}
AGAIN = SETTINGS | {"max_iter": 150, "max_leaf_nodes": 8}  # for the second weighing of places


@dataclass(frozen=True)
class Material:
    """A walk made ready: the items listed in it, their options, and which item stands for which answer."""

    walk: Walk
    items: tuple[tuple[Finding, ...], ...]
    pairs: tuple[tuple[int, int], ...]  # number of an answer, number of an item
    measures: list[list[Option[Any]]]
    places: list[list[Option[Any]]]

    def gold(self, answer: int) -> dict[str, Any]:
        return dict(self.walk.answers["items"][answer])


def material(score: Any, walk: Walk, reading: Reading, lexicon: Any) -> Material:
    found = [(0, f) for f in in_order(reading.findings) if f.assertion.listed and f.element]
    gathered = gather(found, lexicon)
    chances = chance_of(judging.load_judge("items"), [g.findings for g in gathered])
    groups = [g for g, c in zip(gathered, chances, strict=True) if c >= LISTED_FROM]
    adopt_remedies(reading, groups)
    items = tuple(tuple(g.findings) for g in groups)
    made = tuple(make_item(reading, g, 0.5, lexicon) for g in groups)
    pairs = score_walk(score, walk, as_scored(PunchList((), made, ())))["pairs"]
    return Material(walk, items, tuple(pairs), measure_options(reading, items), place_options(reading, items, lexicon))


def materials_of(score: Any, walks: Sequence[Walk], lexicon: Any) -> list[Material]:
    """Each walk read by judges that were fitted on the other half of the walks."""
    stored = json.loads(judging.JUDGES.read_text(encoding="utf-8"))
    prepared = [prepare(score, walk, lexicon) for walk in walks]
    halves = (prepared[::2], prepared[1::2])
    out: list[Material] = []
    with tempfile.TemporaryDirectory() as name:
        for n, half in enumerate(halves):
            use(stored | fit_pairs(halves[1 - n]), pathlib.Path(name))
            out += [material(score, m.walk, reading_of(m.talk), lexicon) for m in half]
    return out


Right = Callable[[Any, Any], bool]


def measure_right(score: Any) -> Right:
    """Whether a measure is one of an answer's."""
    return lambda answer, m: amounts(score, [m.quantity]) <= score.quantities(answer["quantity"])


def place_right(score: Any) -> Right:
    return lambda answer, place: bool(score.any_same([place.said], answer["location"]))


def amounts(score: Any, found: Sequence[Quantity]) -> set[Any]:
    values = [list(q.value) if isinstance(q.value, tuple) else q.value for q in found]
    return set(score.quantities([{"value": v, "unit": q.unit} for v, q in zip(values, found, strict=True)]))


@dataclass(frozen=True)
class Lot:
    """The options of the items of one walk, and whether they are right; None for items that are no answer."""

    options: list[list[Option[Any]]]
    right: list[list[bool] | None]
    order: list[int]


def lot(m: Material, options: list[list[Option[Any]]], right: Right) -> Lot:
    labels: list[list[bool] | None] = [None] * len(options)
    for answer, item in m.pairs:
        labels[item] = [right(m.gold(answer), o.what) for o in options[item]]
    return Lot(options, labels, told_order(m.items))


def labelled(lots: Sequence[Lot]) -> list[tuple[Option[Any], bool]]:
    return [
        pair
        for one in lots
        for group, right in zip(one.options, one.right, strict=True)
        if right is not None
        for pair in zip(group, right, strict=True)
    ]


def facts_of(lots: Sequence[Lot]) -> dict[str, Any]:
    cases = labelled(lots)
    return fit_facts([o.facts for o, _ in cases], [ok for _, ok in cases])


def weights_of(stored: dict[str, Any]) -> Weights:
    return Weights(stored["base"], stored["weights"])


def fit_scale(name: str, lots: Sequence[Lot]) -> dict[str, Any]:
    """Weights of facts, and trees that see sums by weights that did not see the walk."""
    rows: list[dict[str, float]] = []
    labels: list[bool] = []
    for k in range(INNER):
        weights = weights_of(facts_of([one for n, one in enumerate(lots) if n % INNER != k]))
        cases = labelled([one for n, one in enumerate(lots) if n % INNER == k])
        rows += with_sums(weights, [o for o, _ in cases])
        labels += [ok for _, ok in cases]
    return {name: fit(rows, labels, SETTINGS, rare=RARE), f"{name} facts": facts_of(lots)}


def scale_of(name: str, stored: dict[str, Any]) -> Scale:
    return Scale(weights_of(stored[f"{name} facts"]), judge_from(stored[name]))


def fit_places(lots: Sequence[Lot]) -> dict[str, Any]:
    """The scale of places, and the trees that weigh them again among those of the neighbouring items."""
    rows: list[dict[str, float]] = []
    labels: list[bool] = []
    for k in range(INNER):
        scale = scale_of("places", fit_scale("places", [one for n, one in enumerate(lots) if n % INNER != k]))
        for one in (one for n, one in enumerate(lots) if n % INNER == k):
            again = among_neighbours(one.options, scale.chances(one.options), one.order)
            for group, right in zip(again, one.right, strict=True):
                rows += group if right is not None else []
                labels += right or []
    return fit_scale("places", lots) | {"places together": fit(rows, labels, AGAIN, rare=RARE)}


def chances_by(stored: dict[str, Any], places: Lot, measures: Lot) -> tuple[list[list[float]], list[list[float]]]:
    first = scale_of("places", stored).chances(places.options)
    rows = among_neighbours(places.options, first, places.order)
    judge = judge_from(stored["places together"])
    return [judge.chances(group) for group in rows], scale_of("measures", stored).chances(measures.options)


def check(score: Any, materials: Sequence[Material], places: Sequence[Lot], measures: Sequence[Lot]) -> None:
    """Prints the share of items whose place and measures are right, chosen by what did not see their walk."""
    right, total, parts = [0, 0], 0, 0
    for k in range(FOLDS):
        kept = [n for n in range(len(materials)) if n % FOLDS != k]
        stored = fit_places([places[n] for n in kept]) | fit_scale("measures", [measures[n] for n in kept])
        for n in (n for n in range(len(materials)) if n % FOLDS == k and "/" not in materials[n].walk.name):
            likely, sure = chances_by(stored, places[n], measures[n])
            for answer, item in materials[n].pairs:
                gold = materials[n].gold(answer)
                told = [p.said for p in chosen_places(places[n].options[item], likely[item])]
                found = chosen_amounts(measures[n].options[item], sure[item])
                right[0] += bool(score.any_same([", ".join(told)], gold["location"])) if gold["location"] else not told
                right[1] += amounts(score, found) == score.quantities(gold["quantity"])
                total, parts = total + 1, parts + len(told)
    print(f"{total} items: place right {right[0] / total:.3f} ({parts / total:.2f} names), measures right {right[1] / total:.3f}")


def main(argv: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("paths", nargs="*", type=pathlib.Path, default=[WALKS / "training", WALKS / "scenes"])
    parser.add_argument("--scorer", type=pathlib.Path, default=DEFAULT)
    parser.add_argument("--check", action="store_true")
    parser.add_argument("-o", "--output", type=pathlib.Path, default=weighing.DETAILS)
    args = parser.parse_args(argv)
    score, lexicon = scorer_at(args.scorer), load_lexicon()
    materials = materials_of(score, load(args.paths), lexicon)
    places = [lot(m, m.places, place_right(score)) for m in materials]
    measures = [lot(m, m.measures, measure_right(score)) for m in materials]
    print(f"{len(materials)} walks, {len(labelled(places))} places and {len(labelled(measures))} measures weighed")
    stored = fit_places(places) | fit_scale("measures", measures)
    args.output.write_text(json.dumps(stored, separators=(",", ":")) + "\n", encoding="utf-8")
    if args.check:
        check(score, materials, places, measures)


if __name__ == "__main__":
    main()
