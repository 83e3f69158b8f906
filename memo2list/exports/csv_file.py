"""CSV by RFC 4180: UTF-8, comma, CRLF, one header line, one row an item; a second value in a cell after "; "."""

import csv
import io

from memo2list.exports import phrasing
from memo2list.exports.exporter import Sheet
from memo2list.exports.safety import safe_cell
from memo2list.records import Item
from memo2list.timing import clock

COLUMNS = (
    "number key kind title element issues actions location quantity materials certainty safety by review state confidence "
    "questions cautions flags note quote recording start end"
).split()


def write(sheet: Sheet) -> bytes:
    names = {r.sha256: r.name for r in sheet.punch_list.recordings}
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for item in sheet.items:
        writer.writerow([safe_cell(value) for value in row(item, names, sheet.settings.page.decimal)])
    return out.getvalue().encode()


def row(item: Item, names: dict[str, str], decimal: str = ".") -> list[str | int | float]:
    """The values of one item, in the order of COLUMNS; numbers stay numbers."""
    first = item.quotes[0] if item.quotes else None
    return [
        item.number,
        item.key,
        item.kind,
        item.title,
        item.element,
        "; ".join(item.issues),
        "; ".join(item.actions),
        item.location or "",
        phrasing.quantities(item.quantities, decimal),
        "; ".join(item.materials),
        item.certainty,
        "yes" if item.safety else "no",
        item.by,
        item.review,
        item.state,
        round(item.confidence, 2),
        "; ".join(item.questions),
        "; ".join(f"{c.text} ({c.source})" for c in item.cautions),
        "; ".join(f.reason for f in item.flags),
        item.note,
        " | ".join(q.text for q in item.quotes),
        names.get(first.recording, "") if first else "",
        clock(first.span.start_ms) if first else "",
        clock(first.span.end_ms) if first else "",
    ]
