"""Items as rows of a table."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from memo2list.command_line.tables import show
from memo2list.exports import phrasing
from memo2list.records import Item
from memo2list.settings import PageStyle
from memo2list.timing import short_clock

if TYPE_CHECKING:
    from memo2list.store.edits import Edit

COLUMNS = ("No.", "Item", "Where", "How much", "Certainty", "Sure", "At", "Look again")


def show_items(items: Sequence[Item], page: PageStyle, title: str = "") -> None:
    show(COLUMNS, [row(item, page) for item in items if item.review != "dropped"], title)


def row(item: Item, page: PageStyle) -> tuple[object, ...]:
    return (
        item.number,
        item.title + (" (safety)" if item.safety else ""),
        item.location or "",
        phrasing.quantities(item.quantities, page.decimal),
        "to verify" if item.kind == "verify" else item.certainty,
        f"{item.confidence:.0%}",
        short_clock(item.quotes[0].span.start_ms) if item.quotes else "",
        ", ".join(dict.fromkeys(f.code for f in item.flags)),
    )


def explained(item: Item, edits: Sequence["Edit"], recordings: Mapping[str, str], page: PageStyle) -> list[str]:
    """Why an item is on the list, from the words to the changes people made, as lines."""
    out = [f"{item.number}. {item.title}", f"   {item.kind}, {item.certainty}, at {item.location or 'no place that was said'}"]
    out += [f"   measured: {phrasing.quantity(q, page.decimal)}, from “{q.said}”" for q in item.quantities]
    out.append("Said:")
    for quote in item.quotes:
        name = recordings.get(quote.recording, "")
        out.append(f"   {short_clock(quote.span.start_ms)} {name}: “{quote.text}”")
    out += _section("Understood:", item.steps)
    out += _section("Look again:", [f"{f.code}: {f.reason}" for f in item.flags])
    parts = [f"{p.name} {p.value:.2f}{': ' + p.because if p.because else ''}" for p in item.parts]
    out += _section(f"Sure to {item.confidence:.0%}:", parts)
    out += _section("To settle:", item.questions)
    out += _section("Cautions:", [f"{c.text} ({c.source})" for c in item.cautions])
    out += _section("Changed:", [_change(e) for e in edits])
    return out


def _section(head: str, lines: Sequence[str]) -> list[str]:
    return [head, *(f"   {line}" for line in lines)] if lines else []


def _change(edit: "Edit") -> str:
    what = f"{edit.field} from {edit.expected!r} to {edit.new!r}" if edit.field and edit.kind == "set" else str(edit.new or "")
    return " ".join(f"{edit.at[:16].replace('T', ' ')} {edit.who} {edit.kind} {what}".split())
