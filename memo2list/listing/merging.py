"""Findings that make one item: a problem and its remedy, repeats, two faults under one remedy.

Findings are taken in the order they were said; each joins the recent group it most likely belongs to or opens a new
one. Only a few recent findings, and the recent ones of the same element, are compared, so the work stays linear.
"""

from collections import deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from memo2list.judging import Judge, load_judge
from memo2list.listing.similarity import claims, name_of, pair_features, words_apart
from memo2list.records import Finding
from memo2list.vocabulary.entries import Matcher

TOGETHER = 0.35  # chance from which two findings are one item; 0.5 gave F1 0.620 for 0.623 on walks left out of the fit
RECENT = 10  # findings compared, whatever their element
RECENT_SAME = 8  # further back, findings of the same element
FURTHEST = 900  # words
NEAR = 60  # words within which findings of one element are one item where no judge was fitted


@dataclass(slots=True)
class Group:
    """Findings gathered so far for one item."""

    recording: int
    findings: list[Finding] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Pair:
    """An earlier finding that a later one may join, by their numbers, with the features of the two."""

    earlier: int
    later: int
    features: dict[str, float]


def gather(listed: Sequence[tuple[int, Finding]], lexicon: Matcher) -> list[Group]:
    """Groups in the order of their first finding; `listed` are (recording number, finding) in order of time."""
    judge = load_judge("merge")
    pairs = list(pairs_to_compare(listed, lexicon))
    chances = judge.chances([p.features for p in pairs]) if judge else [by_rule(p) for p in pairs]
    best: dict[int, tuple[float, int]] = {}
    for pair, chance in zip(pairs, chances, strict=True):
        if chance >= TOGETHER and chance > best.get(pair.later, (0.0, 0))[0]:
            best[pair.later] = (chance, pair.earlier)
    groups: list[Group] = []
    group_of: list[Group] = []
    for number, (recording, finding) in enumerate(listed):
        group = group_of[best[number][1]] if number in best else Group(recording)
        if number not in best:
            groups.append(group)
        group.findings.append(finding)
        group_of.append(group)
    return groups


def pairs_to_compare(listed: Sequence[tuple[int, Finding]], lexicon: Matcher) -> Iterable[Pair]:
    recent: deque[int] = deque(maxlen=RECENT)
    by_element: dict[tuple[int, str], deque[int]] = {}
    for number, (recording, finding) in enumerate(listed):
        same = by_element.setdefault((recording, name_of(finding)), deque(maxlen=RECENT_SAME))
        for earlier in dict.fromkeys([*recent, *same]):
            near = listed[earlier][0] == recording and words_apart(listed[earlier][1], finding) <= FURTHEST
            if near and finding.nexts - listed[earlier][1].nexts != 1:  # "next item": not the one just before
                between = others_between(listed, earlier, number)
                features = dict(pair_features(listed[earlier][1], finding, between, lexicon))
                if not strangers(features):
                    yield Pair(earlier, number, features)
        recent.append(number)
        same.append(number)


ALIKE = ("same_element", "same_head", "one_in_other", "kind_of", "part_of", "shared_said", "same_mention", "unlisted")


def strangers(features: dict[str, float]) -> bool:
    """Two things the lexicon knows and that have nothing to do with each other, told apart: never one item.

    Told apart means in two passages, or each with a problem of its own that the other does not have.
    """
    if any(features[name] for name in ALIKE):
        return False
    own_problems = features["first_problem"] and features["second_problem"] and not features["same_claim"]
    return bool(features["passages_apart"] or own_problems)


def others_between(listed: Sequence[tuple[int, Finding]], earlier: int, later: int) -> int:
    own = {name_of(listed[earlier][1]), name_of(listed[later][1])}
    return len({name_of(f) for _, f in listed[max(earlier + 1, later - 12) : later]} - own)


def by_rule(pair: Pair) -> float:
    """Where no judge was fitted: the same element, not far apart."""
    return float(pair.features["same_element"] and pair.features["words_apart"] <= NEAR)


__all__ = ["Group", "Judge", "claims", "gather", "pairs_to_compare"]
