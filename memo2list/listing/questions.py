"""What still has to be asked before an item can be priced: the lexicon says what a price needs."""

from collections.abc import Sequence

from memo2list.records import Quantity
from memo2list.vocabulary.entries import Entry

ASK = {
    "length": "How long?",
    "area": "How large an area?",
    "count": "How many?",
    "colour": "Which colour?",
    "profile": "Which profile?",
    "size": "Which size?",
    "material": "Which material?",
}
MEASURES = {
    "length": ("length", "area"),
    "area": ("area", "length"),
    "count": ("count",),
    "size": ("length", "clearance", "size"),
}
MOST = 3


def questions(
    entries: Sequence[Entry | None], quantities: Sequence[Quantity], materials: Sequence[str], location: str | None
) -> tuple[str, ...]:
    """Questions for what is needed and was not said; the place first if none is known."""
    needs = list(dict.fromkeys(need for entry in entries if entry for need in entry.needs))
    kinds = {q.kind for q in quantities}
    asked = [] if location else ["Where is it?"]
    for need in needs:
        said = bool(kinds & set(MEASURES.get(need, ()))) or (need in ("colour", "material", "profile") and bool(materials))
        if not said and need in ASK:
            asked.append(ASK[need])
    return tuple(asked[:MOST])
