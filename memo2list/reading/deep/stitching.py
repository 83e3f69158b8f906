"""Findings of neighbouring windows made one: the same item told twice, or its remedy told later."""

from collections.abc import Sequence
from dataclasses import replace

from memo2list.reading.deep.grounding import joined, stems
from memo2list.records import Finding, Mention

LATER = 12  # findings looked back over for a problem whose remedy is told here


def stitch(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """Findings in the order told, each item once."""
    out: list[Finding] = []
    for finding in sorted(findings, key=lambda f: f.words.first):
        at = next((n for n in range(len(out) - 1, max(-1, len(out) - 1 - LATER), -1) if same_item(out[n], finding)), None)
        if at is None:
            out.append(finding)
        else:
            out[at] = merged(out[at], finding)
    return tuple(out)


def same_item(a: Finding, b: Finding) -> bool:
    if not same_name(a.element, b.element):
        return False
    shared = any(x.overlaps(y) for x in a.evidence for y in b.evidence)
    if shared and (same_claim(a.problems, b.problems) or (not (a.problems and b.problems) and same_claim(a.actions, b.actions))):
        return True
    return a.nexts == b.nexts and same_place(a, b) and remedy_told_later(a, b)


def remedy_told_later(a: Finding, b: Finding) -> bool:
    return bool(a.problems and not a.actions and b.actions and not b.problems)


def same_name(a: Mention | None, b: Mention | None) -> bool:
    if a is None or b is None:
        return False
    return a.entry == b.entry or stems(a.said) == stems(b.said)


def same_claim(a: Sequence[Mention], b: Sequence[Mention]) -> bool:
    return any(same_name(x, y) for x in a for y in b)


def same_place(a: Finding, b: Finding) -> bool:
    if a.place is None or b.place is None:
        return True
    x, y = stems(a.place.name), stems(b.place.name)
    return x <= y or y <= x


def merged(a: Finding, b: Finding) -> Finding:
    seen = {(q.value, q.unit) for q in a.quantities}
    return replace(
        a,
        problems=a.problems or b.problems,
        actions=a.actions or b.actions,
        place=a.place or b.place,
        quantities=a.quantities + tuple(q for q in b.quantities if (q.value, q.unit) not in seen),
        materials=a.materials or b.materials,
        evidence=joined((*a.evidence, *b.evidence)),
        flags=tuple(dict.fromkeys((*a.flags, *b.flags))),
        safety=a.safety or b.safety,
        steps=a.steps + b.steps,
    )
