"""Findings that make one item: a problem and its remedy, repeats, two faults under one remedy.

Findings are taken in the order they were said; each joins the latest group it belongs to or opens a new one.
Groups are kept by element, so the work stays linear in the number of findings.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

from memo2list.listing.similarity import claims, same_element, same_place, words_apart
from memo2list.records import Finding
from memo2list.vocabulary.entries import Matcher

SAME_BREATH = 25  # words: two problems of one element said this close are one item
NEAR = 60  # words within which two deeds on one element are one remedy
FAR = 400  # words within which a remedy still joins its problem
RECENT = 12  # groups looked at, the latest first


@dataclass(slots=True)
class Group:
    """Findings gathered so far for one item."""

    recording: int
    findings: list[Finding] = field(default_factory=list)

    @property
    def has_problem(self) -> bool:
        return any(f.problems for f in self.findings)

    @property
    def has_action(self) -> bool:
        return any(f.actions for f in self.findings)


def gather(listed: Sequence[tuple[int, Finding]], lexicon: Matcher) -> list[Group]:
    """Groups in the order of their first finding; `listed` are (recording number, finding) in order of time."""
    groups: list[Group] = []
    by_head: dict[str, list[Group]] = {}
    for recording, finding in listed:
        head = finding.element.entry.split()[-1] if finding.element else ""
        recent = by_head.setdefault(head, [])
        group = next((g for g in reversed(recent[-RECENT:]) if g.recording == recording and belongs(finding, g, lexicon)), None)
        if group is None:
            group = Group(recording)
            groups.append(group)
            recent.append(group)
        group.findings.append(finding)
    return groups


def belongs(finding: Finding, group: Group, lexicon: Matcher) -> bool:
    last, first = group.findings[-1], group.findings[0]
    if not same_element(finding, first, lexicon) or not same_place(finding, first):
        return False
    apart = min(words_apart(finding, f) for f in group.findings)
    if any(claims(finding) == claims(f) for f in group.findings):
        return apart <= FAR
    if bool(finding.actions) != bool(last.actions) or (finding.actions and group.has_problem):
        return apart <= FAR if finding.actions else apart <= NEAR
    return apart <= (NEAR if finding.actions else SAME_BREATH)
