"""XLSX with openpyxl (MIT): real numbers, filters, widths, print set-up. Written in openpyxl's write-only mode.

Sheets: Items; Questions; Quantities (each sum lists its items); Set aside.
"""

import io
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from memo2list.exports import phrasing
from memo2list.exports.content import DRAFT
from memo2list.exports.exporter import Sheet
from memo2list.exports.safety import safe_cell, xml_text
from memo2list.exports.sums import sums
from memo2list.records import Item, Quantity

if TYPE_CHECKING:
    from openpyxl import Workbook

ITEM_COLUMNS = (
    ("No.", 6), ("Place", 22), ("Item", 44), ("Kind", 10), ("Certainty", 12), ("Amount", 10), ("To", 10), ("Unit", 8),
    ("About", 8), ("Other measures", 22), ("Materials", 24), ("Safety", 8), ("Questions", 34), ("Look again", 40),
    ("Note", 30), ("Review", 12), ("State", 8), ("Sure", 8), ("Said by", 8), ("At", 10), ("Recording", 20), ("Quote", 60),
    ("Cautions", 50), ("Key", 14),
)  # fmt: skip
QUESTION_COLUMNS = (("No.", 6), ("Place", 22), ("Item", 44), ("Question", 50), ("Answer", 50))
SUM_COLUMNS = (
    ("Element", 22), ("Action", 18), ("Unit", 8), ("Total", 12), ("To", 12), ("Exact or about", 16), ("Certain", 14),
    ("Items", 30),
)  # fmt: skip
ASIDE_COLUMNS = (("Why", 14), ("Element", 22), ("What", 30), ("Said", 70))


def write(sheet: Sheet) -> bytes:
    from openpyxl import Workbook

    book = Workbook(write_only=True)
    names = {r.sha256: r.name for r in sheet.punch_list.recordings}
    add_table(book, sheet, "Items", ITEM_COLUMNS, (item_row(item, names) for item in sheet.items))
    add_table(book, sheet, "Questions", QUESTION_COLUMNS, question_rows(sheet.items))
    add_table(book, sheet, "Quantities", SUM_COLUMNS, sum_rows(sheet.items))
    add_table(book, sheet, "Set aside", ASIDE_COLUMNS, aside_rows(sheet))
    book.properties.title, book.properties.creator = xml_text(sheet.title) or "Punch list", "memo2list"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def add_table(
    book: "Workbook", sheet: Sheet, name: str, columns: Sequence[tuple[str, int]], rows: Iterable[Sequence[Any]]
) -> None:
    from openpyxl.cell import WriteOnlyCell
    from openpyxl.styles import Alignment, Font
    from openpyxl.utils import get_column_letter

    table = book.create_sheet(name)
    for number, (_, width) in enumerate(columns, 1):
        table.column_dimensions[get_column_letter(number)].width = width
    set_up_print(table, sheet)
    heads = []
    for head, _ in columns:
        cell = WriteOnlyCell(table, value=head)
        cell.font = Font(bold=True)
        heads.append(cell)
    table.append(heads)
    wrap, count = Alignment(wrap_text=True, vertical="top"), 1
    for row in rows:
        table.append([_cell(table, value, wrap) for value in row])
        count += 1
    table.auto_filter.ref = f"A1:{get_column_letter(len(columns))}{count}"


def set_up_print(table: Any, sheet: Sheet) -> None:
    table.freeze_panes = "A2"
    table.page_setup.orientation = "landscape"
    table.page_setup.paperSize = "1" if sheet.settings.page.size == "Letter" else "9"  # ECMA-376, 18.3.1.63
    table.page_setup.fitToWidth, table.page_setup.fitToHeight = 1, 0
    table.sheet_properties.pageSetUpPr.fitToPage = True
    table.print_title_rows = "1:1"
    table.oddFooter.left.text = xml_text(sheet.title).replace("&", "&&")
    table.oddFooter.center.text = DRAFT if sheet.draft else ""
    table.oddFooter.right.text = "Page &P of &N"


def _cell(table: Any, value: Any, wrap: Any) -> Any:
    from openpyxl.cell import WriteOnlyCell

    if not isinstance(value, str):
        cell = WriteOnlyCell(table, value=value)
    else:
        cell = WriteOnlyCell(table, value=safe_cell(xml_text(value))[:32_767])  # the longest text a cell may hold
        cell.data_type = "s"  # a text stays a text, whatever it looks like
    cell.alignment = wrap
    return cell


def item_row(item: Item, names: dict[str, str]) -> list[Any]:
    first = item.quotes[0] if item.quotes else None
    main, others = _main_measure(item.quantities)
    return [
        item.number,
        phrasing.place(item),
        item.title,
        item.kind,
        item.certainty,
        *main,
        phrasing.quantities(others),
        ", ".join(item.materials),
        "yes" if item.safety else "no",
        "\n".join(item.questions),
        "\n".join(f.reason for f in item.flags),
        item.note,
        item.review,
        item.state,
        round(item.confidence, 2),
        item.by,
        phrasing.short_clock(first.span.start_ms) if first else "",
        names.get(first.recording, "") if first else "",
        "\n".join(q.text for q in item.quotes),
        "\n".join(f"{c.text} ({c.source})" for c in item.cautions),
        item.key,
    ]


def _main_measure(quantities: Sequence[Quantity]) -> tuple[list[Any], Sequence[Quantity]]:
    """Amount, upper end of a range, unit and "about" of the first quantity; and the other quantities."""
    if not quantities:
        return [None, None, "", ""], ()
    first = quantities[0]
    low, high = first.value if isinstance(first.value, tuple) else (first.value, None)
    return [low, high, first.unit, "about" if first.approximate else ""], quantities[1:]


def question_rows(items: Iterable[Item]) -> Iterable[list[Any]]:
    for item in items:
        asked = item.questions or (("What was found?",) if item.kind == "verify" else ())
        for question in asked if item.state == "open" else ():
            yield [item.number, phrasing.place(item), item.title, question, None]


def sum_rows(items: Sequence[Item]) -> Iterable[list[Any]]:
    for total in sums(items):
        numbers = ", ".join(str(n) for n in total.items)
        high = total.high if total.high != total.low else None
        standing = ["about" if total.approximate else "exact", "certain" if total.firm else "not certain"]
        yield [total.element, total.action, total.unit, total.low, high, *standing, numbers]


def aside_rows(sheet: Sheet) -> Iterable[list[Any]]:
    for aside in sheet.punch_list.set_aside:
        what = ", ".join((*aside.issues, *aside.actions))
        yield [aside.why, aside.element, what, "\n".join(q.text for q in aside.quotes)]
