"""Which finding a quantity or material belongs to: the nearest one in its passage, else the one said just before."""

from collections.abc import Sequence
from dataclasses import replace

from memo2list.reading.candidates import Talk
from memo2list.reading.findings import nearest
from memo2list.reading.scene import Stage
from memo2list.records import Finding, Mention, Quantity, WordRange

COUNT_REACH = 2  # words between a count and what it counts
BACK = 2  # passages a measure may follow what it measures
PARTITIVE = frozenset({"of", "more"})


def measured(talk: Talk, findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """Findings with the quantities and materials that belong to them."""
    out = list(findings)
    by_passage: dict[int, list[int]] = {}
    for number, finding in enumerate(findings):
        if finding.assertion.listed:
            by_passage.setdefault(finding.passage, []).append(number)
    for stage in talk.stages:
        for quantity in stage.quantities:
            share_quantity(out, by_passage, stage, quantity)
        for material in materials(stage):
            share_material(out, by_passage, stage, material)
    return tuple(out)


def materials(stage: Stage) -> list[Mention]:
    sizes = [Mention("material", q.said.lower(), q.words, "exact", 1.0, q.said) for q in stage.sizes]
    return sizes + [k.mention for k in stage.of_kind("material")]


def owner(out: list[Finding], by_passage: dict[int, list[int]], stage: Stage, words: WordRange, back: int) -> int | None:
    """The finding a measure belongs to: in its passage, else before it, else in the passage right after."""
    for number in (*range(stage.number, max(-1, stage.number - 1 - back), -1), stage.number + 1):
        near = nearest([(n, out[n]) for n in by_passage.get(number, [])], words)
        if near:
            return near[0]
    return None


def share_quantity(out: list[Finding], by_passage: dict[int, list[int]], stage: Stage, quantity: Quantity) -> None:
    count = quantity.unit == "ea"
    number = owner(out, by_passage, stage, quantity.words, 1 if count else BACK)
    if number is None or (count and not counted(stage, out[number], quantity)):
        return
    out[number] = replace(out[number], quantities=(*out[number].quantities, quantity))


def counted(stage: Stage, finding: Finding, quantity: Quantity) -> bool:
    """The number counts the element: "two treads", "three are missing", "four of them", "all four"."""
    after, before = quantity.words.stop - stage.words.first, quantity.words.first - stage.words.first
    if (stage.said[after : after + 1] and stage.said[after] in PARTITIVE) or stage.said[max(0, before - 1) : before] == ("all",):
        return True
    own = [finding.words, *([finding.element.words] if finding.element else [])]
    return any(0 <= words.first - quantity.words.stop <= COUNT_REACH for words in own)


def share_material(out: list[Finding], by_passage: dict[int, list[int]], stage: Stage, material: Mention) -> None:
    number = owner(out, by_passage, stage, material.words, BACK)
    if number is None:
        return
    element = out[number].element
    if element is not None and element.words.overlaps(material.words):
        return
    out[number] = replace(out[number], materials=(*out[number].materials, material))
