"""What a sheet holds, in which order and words, decided by who reads it; how it looks is for the formats to say.

customer  what will be done and why: first what is settled, then what is possible or depends, then what is to be checked
crew      what to check first, then what to do where: quantities, materials, cautions with their source; no talk
office    everything: doubts, questions, quotes, sums of quantities, and what was set aside
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from memo2list.exports import phrasing
from memo2list.exports.exporter import Picture, Sheet
from memo2list.exports.grouping import by_place, by_trade
from memo2list.exports.sums import Sum, sums
from memo2list.records import WISH, Item, State

CAUTION_LINE = "Cautions are the usual ones. Local code and licensed trades decide."
DRAFT = "DRAFT: not every item has been reviewed"
CERTAINTY_WORDS = {"possible": "possible, not certain", "conditional": "depends on something still open"}


@dataclass(frozen=True, slots=True)
class Entry:
    """One item as it is shown. Lines are (label, text); a label may be empty."""

    number: int
    title: str
    tags: tuple[str, ...] = ()
    lines: tuple[tuple[str, str], ...] = ()
    quotes: tuple[str, ...] = ()
    pictures: tuple[Picture, ...] = ()
    tick: bool = False  # a box to tick
    blanks: tuple[str, ...] = ()  # questions, each with a line to write on


@dataclass(frozen=True, slots=True)
class Group:
    heading: str
    entries: tuple[Entry, ...]


@dataclass(frozen=True, slots=True)
class Table:
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a sheet: groups of entries, or a table."""

    heading: str
    intro: str = ""
    groups: tuple[Group, ...] = ()
    table: Table | None = None


@dataclass(frozen=True, slots=True)
class Document:
    title: str
    kind: str  # "Work list", "Crew sheet", …
    head: tuple[str, ...]  # the business, line by line
    about: tuple[tuple[str, str], ...]  # (label, text): customer, address, date, recordings
    draft: bool
    parts: tuple[Part, ...]
    closing: tuple[str, ...]


def document(sheet: Sheet) -> Document:
    """The sheet as its reader needs it."""
    if sheet.kind == "questions":
        return _document(sheet, "Questions to settle", question_parts(sheet), ())
    if sheet.reader == "customer":
        return _document(sheet, "Work list", customer_parts(sheet), tuple(filter(None, [sheet.settings.business.closing])))
    if sheet.reader == "crew":
        return _document(sheet, "Crew sheet", crew_parts(sheet), (CAUTION_LINE,))
    return _document(sheet, "Office list", office_parts(sheet), (CAUTION_LINE,))


def _document(sheet: Sheet, kind: str, parts: Iterable[Part], closing: tuple[str, ...]) -> Document:
    business = sheet.settings.business
    filled = tuple(p for p in parts if p.groups or p.table)
    return Document(
        title=sheet.title or "Punch list",
        kind=kind,
        head=tuple(filter(None, [business.name, *business.address, business.contact])),
        about=tuple((label, text) for label, text in about(sheet) if text),
        draft=sheet.draft,
        parts=filled or (Part("", "There is nothing to list."),),
        closing=closing,
    )


def about(sheet: Sheet) -> list[tuple[str, str]]:
    walked = ", ".join(r.name for r in sheet.punch_list.recordings) if sheet.reader == "office" else ""
    made = phrasing.date(sheet.made, sheet.settings.page) if sheet.made else ""
    return [("Customer", sheet.customer), ("Property", sheet.address), ("Date", made), ("Recordings", walked)]


# customer


def customer_parts(sheet: Sheet) -> list[Part]:
    items = [i for i in sheet.items if i.state == "open"]
    firm = [i for i in items if i.kind != "verify" and i.certainty == "stated"]
    doubtful = [i for i in items if i.kind != "verify" and i.certainty != "stated"]
    verify = [i for i in items if i.kind == "verify"]
    done = [i for i in sheet.items if i.state == "done"]
    quoted = bool(sheet.quotes)
    return [
        _part(sheet, "What we saw and propose to do", "", firm, lambda i: customer_entry(sheet, i, quoted)),
        _part(
            sheet,
            "Possible, or depending on something",
            "Not settled: each of these needs a closer look or a decision before it is part of the work.",
            doubtful,
            lambda i: customer_entry(sheet, i, quoted),
        ),
        _part(
            sheet,
            "To check before we can say",
            "These are questions, not agreed work.",
            verify,
            lambda i: customer_entry(sheet, i, quoted),
        ),
        _part(sheet, "Done", "", done, lambda i: _entry(sheet, i, False)),
    ]


def customer_entry(sheet: Sheet, item: Item, quoted: bool) -> Entry:
    return replace(
        _entry(sheet, item, quoted),
        lines=tuple(_lines(sheet, item, measures=True) + _asked("We still need to know", item)),
    )


# crew


def crew_parts(sheet: Sheet) -> list[Part]:
    items = [i for i in sheet.items if i.state == "open"]
    verify = [i for i in items if i.kind == "verify"]
    work = [i for i in items if i.kind != "verify"]
    return [
        _part(sheet, "Check first", "Not agreed work: find out, and tell the office.", verify, lambda i: crew_entry(sheet, i)),
        _part(sheet, "To do", "", work, lambda i: crew_entry(sheet, i)),
    ]


def crew_entry(sheet: Sheet, item: Item) -> Entry:
    cautions = [("Caution", f"{c.text} ({c.source})") for c in item.cautions]
    unsaid = _asked("Ask", item) if item.kind == "verify" else []
    return replace(
        _entry(sheet, item, bool(sheet.quotes)),
        tick=True,
        lines=tuple(_lines(sheet, item, measures=True) + unsaid + _note(item) + cautions),
    )


# office


def office_parts(sheet: Sheet) -> list[Part]:
    totals = sums(sheet.items)
    aside = sheet.punch_list.set_aside
    return [
        _part(sheet, "Items", "", sheet.items, lambda i: office_entry(sheet, i)),
        office_part(sheet, ("open", "done")),
        Part("Quantities", "Exact and approximate apart; sizes and clearances are not summed.", table=sums_table(sheet, totals)),
        Part("Set aside", "Heard, understood and left off the list.", table=aside_table(sheet) if aside else None),
    ]


def office_entry(sheet: Sheet, item: Item) -> Entry:
    sure = f"{item.kind}, {item.review}, {item.state}, sure to {item.confidence:.0%}{f', said by {item.by}' if item.by else ''}"
    lines = [
        *_lines(sheet, item, measures=True),
        *_asked("To settle", item),
        *[("Wanted" if f.code == WISH else "Look again", f.reason) for f in item.flags],
        *_note(item),
        *[("Caution", f"{c.text} ({c.source})") for c in item.cautions],
        ("Standing", sure),
    ]
    return replace(_entry(sheet, item, sheet.quotes is not False), lines=tuple(lines))


def sums_table(sheet: Sheet, totals: Sequence[Sum]) -> Table | None:
    if not totals:
        return None
    columns = ("Element", "Action", "Total", "Standing", "Items")
    return Table(columns, tuple(_sum_row(total, sheet.settings.page.decimal) for total in totals))


def _sum_row(total: Sum, decimal: str) -> tuple[str, ...]:
    amount = phrasing.number(total.low, total.unit, decimal)
    if total.high != total.low:
        amount += f"–{phrasing.number(total.high, total.unit, decimal)}"
    unit = "" if total.unit == "ea" else f" {total.unit}"
    standing = ", ".join([("approximate" if total.approximate else "exact"), *([] if total.firm else ["not certain"])])
    items = ", ".join(str(n) for n in total.items)
    return (total.element, total.action, amount + unit, standing, items)


def aside_table(sheet: Sheet) -> Table:
    rows = []
    for aside in sheet.punch_list.set_aside:
        said = phrasing.quote_line(aside.quotes[0]) if aside.quotes else ""
        rows.append((aside.why, aside.element, ", ".join((*aside.issues, *aside.actions)), said))
    return Table(("Why", "Element", "What", "Said"), tuple(rows))


def office_part(sheet: Sheet, states: Sequence[State]) -> Part:
    """Questions that belong to no item, of these states."""
    asked = [q for q in sheet.punch_list.questions if q.state in states]
    rows = tuple((q.text, phrasing.quote_line(q.quotes[0]) if q.quotes else "", q.state) for q in asked)
    columns = ("Question", "Said", "Standing") if len(states) > 1 else ("Question", "Said")
    table = Table(columns, tuple(row[: len(columns)] for row in rows)) if rows else None
    return Part("For the office", "Asked on the walk, about no line of the list.", table=table)


# questions to settle


def question_parts(sheet: Sheet) -> list[Part]:
    """Items to verify and items with open questions, by place, each with a blank to write in."""
    asked = [i for i in sheet.items if i.state == "open" and (i.questions or i.kind == "verify")]
    intro = "To take back to the property, or to read out on the phone."
    return [
        _part(replace(sheet, by="place"), "To settle", intro, asked, lambda i: question_entry(sheet, i)),
        office_part(sheet, ("open",)),
    ]


def question_entry(sheet: Sheet, item: Item) -> Entry:
    blanks = item.questions or ("What was found?",)
    return replace(
        _entry(sheet, item, bool(sheet.quotes)), lines=tuple(_lines(sheet, item, measures=True)), blanks=blanks, tick=True
    )


# shared


def _part(sheet: Sheet, heading: str, intro: str, items: Sequence[Item], make: Callable[[Item], Entry]) -> Part:
    grouped = by_trade(items, sheet.trades) if sheet.by == "trade" else by_place(items)
    return Part(heading, intro, tuple(Group(name, tuple(make(i) for i in members)) for name, members in grouped))


def _entry(sheet: Sheet, item: Item, quoted: bool) -> Entry:
    standing = "to check, not agreed work" if item.kind == "verify" else CERTAINTY_WORDS.get(item.certainty, "")
    tags = ["done"] if item.state == "done" else [standing, "safety" if item.safety else ""]
    quotes = tuple(phrasing.quote_line(q) for q in item.quotes) if quoted else ()
    pictures = tuple(sheet.pictures.get(item.key, ()))
    return Entry(item.number, item.title, tuple(t for t in tags if t), (), quotes, pictures)


def _lines(sheet: Sheet, item: Item, measures: bool) -> list[tuple[str, str]]:
    where = phrasing.place(item) if sheet.by == "trade" else phrasing.sentence_case(phrasing.spot_of(item.location))
    measured = phrasing.quantities(item.quantities, sheet.settings.page.decimal) if measures else ""
    told = (("Where", where), ("How much", measured), ("With", ", ".join(item.materials)))
    return [(label, text) for label, text in told if text]


def _asked(label: str, item: Item) -> list[tuple[str, str]]:
    return [(label, " ".join(item.questions))] if item.questions else []


def _note(item: Item) -> list[tuple[str, str]]:
    return [("Note", item.note)] if item.note else []
