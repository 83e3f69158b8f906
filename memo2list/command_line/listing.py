"""Items as rows of a table."""

from collections.abc import Sequence

from memo2list.command_line.tables import show
from memo2list.exports import phrasing
from memo2list.records import Item
from memo2list.settings import PageStyle
from memo2list.timing import short_clock

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
        ", ".join(f.code for f in item.flags),
    )
