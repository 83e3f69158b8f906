"""A remedy without an element of its own goes to the problem said just before: "the cord's gone … new one on the right"."""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import replace

from memo2list.listing.merging import Group
from memo2list.listing.similarity import judgement
from memo2list.records import LISTED, Assertion, Finding, Flag, Reading, WordRange

REACH = 40  # words from the problem to its remedy
LEAST = 0.03  # the reader's chance below which a remedy is not taken up
AGAINST = frozenset({"negated", "declined", "taken back", "by others", "elsewhere", "general", "done"})


def adopt_remedies(reading: Reading, groups: Sequence[Group]) -> None:
    """Adds to each group without an action the likeliest one said soon after, if no other item comes between."""
    taken = {(f.words, m.entry) for g in groups for f in g.findings for m in f.actions}
    spare = sorted((f for f in reading.findings if is_spare(f, taken)), key=lambda f: f.words.first)
    firsts = [f.words.first for f in spare]
    starts = sorted(f.words.first for g in groups for f in g.findings)
    for group in groups:
        if any(f.actions for f in group.findings):
            continue
        last = max(f.words.stop for f in group.findings)
        following = starts[bisect_left(starts, last)] if starts and starts[-1] >= last else last + REACH
        limit = min(last + REACH, following)
        near = [f for f in spare[bisect_left(firsts, last) : bisect_left(firsts, limit)] if f.nexts == group.findings[-1].nexts]
        if near:
            group.findings.append(adopted(max(near, key=judgement), group.findings[-1]))


def is_spare(finding: Finding, taken: set[tuple[WordRange, str]]) -> bool:
    named = {(finding.words, m.entry) for m in finding.actions}
    return bool(named) and not named & taken and finding.assertion.status not in AGAINST and judgement(finding) >= LEAST


def adopted(remedy: Finding, problem: Finding) -> Finding:
    """The remedy as a finding about the problem's element."""
    flag = Flag(
        "remedy-unclear",
        f'"{remedy.actions[0].said}" was said without naming the {problem.element.entry if problem.element else "part"}',
    )
    status = remedy.assertion if remedy.assertion.status in LISTED else Assertion(problem.assertion.status)
    return replace(
        remedy, element=problem.element, assertion=status, flags=(*remedy.flags, flag), place=problem.place, safety=problem.safety
    )
