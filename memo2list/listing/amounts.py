"""Which of the measures that were said belong to an item: named features of the two, and the choice among weighed ones."""

import math
from bisect import bisect_left
from collections.abc import Iterator, Sequence

from memo2list.listing.anchors import FAR, Anchors, Things, gap_between, neighbours, words_between
from memo2list.listing.weighing import Option
from memo2list.records import Finding, Measured, Quantity, Reading

LIKELY = 0.45  # chance from which a measure is an item's own
BACK, AHEAD = 4, 9  # passages before and after a finding in which its measures are looked for
COUNTING = 3  # words after a number among which the thing it counts is looked for
MOST = 6
SURE = frozenset({"said", "size"})  # measures that are never two readings of one number: "8x9" is one word with two


def measure_options(reading: Reading, items: Sequence[Sequence[Finding]]) -> list[list[Option[Measured]]]:
    """For each item of one recording (its findings) the measures said near it, in order."""
    anchors = [Anchors.of(findings) for findings in items]
    elements = Things.of(reading.mentions)
    starts = [m.passage for m in reading.measures]
    return [
        [option(reading, own, others, elements, findings, m) for m in near(reading.measures, starts, own.passages)]
        for findings, own, others in zip(items, anchors, neighbours(anchors), strict=True)
    ]


def near(measures: Sequence[Measured], starts: Sequence[int], passages: frozenset[int]) -> Iterator[Measured]:
    for passage in sorted({p + k for p in passages for k in range(-BACK, AHEAD + 1)}):
        at = bisect_left(starts, passage)
        while at < len(measures) and starts[at] == passage:
            yield measures[at]
            at += 1


def option(
    reading: Reading, own: Anchors, others: Sequence[Anchors], elements: Things, findings: Sequence[Finding], m: Measured
) -> Option[Measured]:
    names = {n for f in findings if f.element for n in (f.element.entry, f.element.said)}
    words, transcript = m.quantity.words, reading.transcript
    after = [w.text.lower().strip(".,;:?!") for w in transcript.words[words.stop : words.stop + COUNTING]]
    features = (
        distance_features(reading, own, others, m)
        | element_features(own, elements, names, after, m)
        | own_features(findings, m)
        | {"hyphened": "-" in transcript.words[words.stop - 1].text and len(words) == 1}
    )
    return Option(m, {k: float(v) for k, v in features.items()}, (*m.facts, *joint_facts(findings, m, after)))


def distance_features(reading: Reading, own: Anchors, others: Sequence[Anchors], m: Measured) -> dict[str, float]:
    """How far a measure is said from the item, and what other items are nearer."""
    words, transcript = m.quantity.words, reading.transcript
    gap, here = own.gap(words), own.nearest(words)
    gaps = [a.gap(words) for a in others]
    between = words_between(here, words)
    texts = [w.text for w in transcript.words[between.first : between.stop]]
    turn, home = transcript.turn_at(words.first), transcript.turn_at(here.first)
    return {
        "gap": min(FAR, gap),
        "after_item": words.first >= here.first,
        "after_all": words.first >= own.words[0].first,
        "passages_after": min((m.passage - p for p in own.passages), key=abs),
        "passages_after_first": m.passage - own.first,
        "passages_after_last": m.passage - own.last,
        "same_passage": m.passage in own.passages,
        "same_turn": turn == home,
        "same_speaker": turn.speaker == home.speaker,
        "sentence_ends": min(9, sum(t.endswith((".", "?", "!", "…")) for t in texts)),
        "commas": min(9, sum(t.endswith((",", ";", ":", "—", "–")) for t in texts)),
        "asked_between": sum(t.endswith("?") for t in texts),
        "other_gap": min(gaps, default=FAR),
        "nearer_items": sum(g < gap for g in gaps),
        "as_near_items": sum(g == gap for g in gaps),
        "items_between": sum(other.between(between) for other in others),
        "items_in_passage": sum(m.passage in a.passages for a in others),
    }


def element_features(own: Anchors, elements: Things, names: set[str], after: Sequence[str], m: Measured) -> dict[str, float]:
    """What the elements said around a measure are; `after` are the words that follow it."""
    words = m.quantity.words
    inside = elements.inside(words_between(own.nearest(words), words))
    last, following = elements.before(words.first), elements.after(words.stop)
    if following is not None and following.words.first - words.stop >= COUNTING:
        following = None
    closest = min((e for e in (following, last) if e), key=lambda e: gap_between(e.words, words), default=None)
    heads = {n.split()[-1].rstrip("s") for n in names if n}
    return {
        "elements_between": min(9, len(inside)),
        "other_elements_between": min(9, sum(e.entry not in names for e in inside)),
        "own_before": last is not None and last.entry in names,
        "before_gap": min(FAR, max(0, words.first - last.words.stop)) if last else FAR,
        "following_is_own": following is not None and following.entry in names,
        "following_is_other": following is not None and following.entry not in names,
        "following_gap": following.words.first - words.stop if following else FAR,
        "closest_is_own": closest is not None and closest.entry in names,
        "counts_own": next((n for n, w in enumerate(after) if w.rstrip("s") in heads), FAR),
    }


def own_features(findings: Sequence[Finding], m: Measured) -> dict[str, float]:
    """What item and measure are by themselves."""
    q = m.quantity
    return {
        "findings": len(findings),
        "problems": sum(bool(f.problems) for f in findings),
        "deeds": sum(bool(f.actions) for f in findings),
        "given": any(q.words == g.words and q.unit == g.unit for f in findings for g in f.quantities),
        "any_given": sum(len(f.quantities) for f in findings),
        "value": math.log1p(float(q.value[1] if isinstance(q.value, tuple) else q.value)),
        "range": isinstance(q.value, tuple),
        "same": m.same,
        "before": m.before,
        "later": m.after,
        "approximate": q.approximate,
    }


def joint_facts(findings: Sequence[Finding], m: Measured, after: Sequence[str]) -> Iterator[str]:
    """Named facts of item and measure together."""
    unit = m.quantity.unit
    for name in {f.element.entry for f in findings if f.element}:
        yield f"{unit} element {name}"
        yield f"{unit} head {name.split()[-1]}"
        yield f"{m.how} {unit} head {name.split()[-1]}"
    for claim in {c.entry for f in findings for c in (*f.problems, *f.actions)}:
        yield f"{unit} claim {claim}"
    for deed in {c.entry for f in findings for c in f.actions}:
        yield f"deed {deed} after {' '.join(after[:1])}"


def chosen_amounts(options: Sequence[Option[Measured]], chances: Sequence[float]) -> tuple[Quantity, ...]:
    """The likely measures in the order said, each value and unit once; of several readings of one number the likeliest."""
    weighed = sorted(zip(paired(options, chances), options, strict=True), key=lambda pair: -pair[0])
    taken: list[Measured] = []
    for chance, one in weighed:
        if chance >= LIKELY and not any(rivals(one.what, other) for other in taken):
            taken.append(one.what)
    ordered = (o.what.quantity for o in options if o.what in taken[:MOST])
    return tuple({(q.value, q.unit): q for q in ordered}.values())


def paired(options: Sequence[Option[Measured]], chances: Sequence[float]) -> list[float]:
    """The two sides of a size are an item's own together or not at all: each gets the mean chance."""
    out = list(chances)
    for n in range(len(options) - 1):
        a, b = options[n].what, options[n + 1].what
        if a.side and b.side and a.quantity.unit == b.quantity.unit and a.passage == b.passage:
            out[n] = out[n + 1] = (chances[n] + chances[n + 1]) / 2
    return out


def rivals(a: Measured, b: Measured) -> bool:
    """Readings of the same words, of which one at most is right."""
    return a.quantity.words.overlaps(b.quantity.words) and not (a.how == b.how and a.how in SURE)
