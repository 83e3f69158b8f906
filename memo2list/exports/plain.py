"""Plain text: one line an item with its place, measure and doubts, grouped by place in walking order."""

from memo2list.exports import phrasing
from memo2list.exports.exporter import Sheet
from memo2list.exports.grouping import by_place
from memo2list.records import WISH, Item


def write(sheet: Sheet) -> bytes:
    return "\n".join([*lines(sheet), ""]).encode()


def lines(sheet: Sheet) -> list[str]:
    out = [sheet.title] if sheet.title else []
    for place, items in by_place(sheet.items):
        out += ["", place] if out else [place]
        out += [line(item, sheet.settings.page.decimal) for item in items]
    if not sheet.items:
        out.append("No items.")
    out += [phrasing.office_line(question) for question in sheet.punch_list.questions]
    out += [f"Note: {flag.reason}." for flag in sheet.punch_list.flags]
    return out


def line(item: Item, decimal: str = ".") -> str:
    doubts = dict.fromkeys(f.code for f in item.flags if f.code != WISH)
    words = [
        phrasing.spot_of(item.location),
        phrasing.quantities(item.quantities, decimal),
        ", ".join(item.materials),
        phrasing.CERTAINTIES[item.certainty],
        "to verify" if item.kind == "verify" else "",
        "safety" if item.safety else "",
        "done" if item.state == "done" else "",
        "the customer's wish" if any(f.code == WISH for f in item.flags) else "",
        f"look again: {', '.join(doubts)}" if doubts else "",
    ]
    told = "; ".join(w for w in words if w)
    return f"{item.number:>4}  {item.title}{f' ({told})' if told else ''}"
