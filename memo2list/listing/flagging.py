"""Flags of an item: those of its findings, once each, and those that only the whole item shows."""

from collections.abc import Iterable, Sequence

from memo2list.records import Finding, Flag, Quantity, StretchFlag

UNSURE = 0.6


def flags(
    findings: Sequence[Finding],
    doubts: Sequence[StretchFlag],
    location: str | None,
    quantities: Sequence[Quantity],
    confidence: float,
) -> tuple[Flag, ...]:
    found = [flag for f in findings for flag in f.flags]
    found += [d.flag for d in doubts if any(d.words.overlaps(f.words) for f in findings)]
    found += whole_item(location, quantities, confidence)
    return tuple({(f.code, f.reason): f for f in found}.values())


def whole_item(location: str | None, quantities: Sequence[Quantity], confidence: float) -> Iterable[Flag]:
    if not location:
        yield Flag("place-unclear", "no place was named for it")
    if any(q.approximate for q in quantities):
        yield Flag("approximate", "a quantity was estimated aloud; measure it")
    if confidence < UNSURE:
        yield Flag("unsure", f"the reading is uncertain ({confidence:.0%})")
