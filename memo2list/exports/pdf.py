"""PDF on A4 or Letter, with fpdf2 (LGPL-3.0, pure Python; writes large tables of text quickly and embeds font subsets).

The font is Source Sans Pro (SIL Open Font License 1.1), from the package font-source-sans-pro: it has accents, Greek,
Cyrillic and vulgar fractions. A character that it lacks is shown as "?".
"""

import datetime
import importlib.util
import io
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from memo2list.errors import InputError
from memo2list.exports.content import DRAFT, Document, Entry, Part, Table, document
from memo2list.exports.exporter import Picture, Sheet
from memo2list.exports.safety import xml_text

if TYPE_CHECKING:
    from fpdf import FPDF

FONT = "Source Sans Pro"
FACES = {"": "Regular", "B": "Semibold", "I": "It"}
INK, SOFT, MARK, LINE = (34, 38, 43), (91, 100, 112), (138, 75, 18), (207, 214, 221)
MARGIN, INDENT, FOOT = 18, 11, 16  # mm
PICTURE_MM = 52
BODY, SMALL = 10.5, 9.0  # points


def write(sheet: Sheet) -> bytes:
    doc = document(sheet)
    pdf = new_pdf(doc, sheet)
    head(pdf, doc)
    for part in doc.parts:
        part_on(pdf, part)
    closing(pdf, doc)
    return bytes(pdf.output())


@cache
def font_folder() -> Path:
    found = importlib.util.find_spec("font_source_sans_pro")
    if found is None or found.origin is None:
        raise InputError("pdf", "needs the font package.", "Install it with `pip install font-source-sans-pro`.")
    return Path(found.origin).parent / "files"


@cache
def known_characters() -> frozenset[int]:
    from fontTools.ttLib import TTFont

    with TTFont(font_folder() / "SourceSansPro-It.ttf", lazy=True) as italic:
        held = frozenset(italic.getBestCmap())
    with TTFont(font_folder() / "SourceSansPro-Regular.ttf", lazy=True) as regular:
        return held & frozenset(regular.getBestCmap())


def shown(text: str) -> str:
    """Text in the characters that the font has."""
    known = known_characters()
    return "".join(c if ord(c) in known or c == "\n" else " " if c.isspace() else "?" for c in xml_text(text))


def new_pdf(doc: Document, sheet: Sheet) -> "FPDF":
    from fpdf import FPDF

    class Page(FPDF):
        """A page with its foot: which sheet, which page, and whether it is a draft."""

        def footer(self) -> None:
            self.set_y(-FOOT + 4)
            face(self, "", SMALL, SOFT)
            self.cell(0, 5, shown(f"{doc.title} · {doc.kind}"), align="L")
            self.set_x(self.l_margin)
            self.cell(0, 5, f"Page {self.page_no()} of {{nb}}", align="R")
            if doc.draft:
                self.set_xy(self.l_margin, -FOOT + 4)
                face(self, "B", SMALL, MARK)
                self.cell(0, 5, "DRAFT", align="C")

    pdf = Page(format=sheet.settings.page.size.lower())
    for style, name in FACES.items():
        pdf.add_font(FONT, style, font_folder() / f"SourceSansPro-{name}.ttf")
    pdf.set_margins(MARGIN, MARGIN)
    pdf.c_margin = 0  # text begins where rules and pictures begin
    pdf.set_auto_page_break(True, FOOT + 4)
    pdf.set_title(f"{doc.title}: {doc.kind.lower()}")
    pdf.set_creator("memo2list")
    made = sheet.made or datetime.date(2000, 1, 1)
    pdf.set_creation_date(datetime.datetime(made.year, made.month, made.day, tzinfo=datetime.UTC))
    pdf.add_page()
    return pdf


def face(pdf: "FPDF", style: str, size: float, colour: tuple[int, int, int] = INK) -> None:
    pdf.set_font(FONT, style, size)
    pdf.set_text_color(*colour)


def head(pdf: "FPDF", doc: Document) -> None:
    for number, line in enumerate(doc.head):
        face(pdf, "B" if number == 0 else "", BODY if number == 0 else SMALL, INK if number == 0 else SOFT)
        paragraph(pdf, line, 4.6)
    pdf.ln(3 if doc.head else 0)
    face(pdf, "B", 19)
    paragraph(pdf, doc.title, 8.5)
    face(pdf, "", 12, SOFT)
    paragraph(pdf, doc.kind, 6)
    pdf.ln(1)
    for label, text in doc.about:
        labelled(pdf, label, text, 0)
    pdf.ln(2)
    rule(pdf, INK, 0.5)
    pdf.ln(2)
    if doc.draft:
        face(pdf, "B", BODY, MARK)
        pdf.set_draw_color(*MARK)
        pdf.set_line_width(0.5)
        pdf.cell(0, 8, f"   {DRAFT}", border=1, new_x="LMARGIN", new_y="NEXT")
        pdf.ln(1)


def part_on(pdf: "FPDF", part: Part) -> None:
    if part.heading:
        first = part.groups[0].entries if part.groups else ()
        keep_together(pdf, 30 + (entry_height(pdf, first[0]) if first else 12))
        pdf.ln(4)
        face(pdf, "B", 14)
        paragraph(pdf, part.heading, 7)
    if part.intro:
        face(pdf, "I", BODY, SOFT)
        paragraph(pdf, part.intro, 5)
    for group in part.groups:
        keep_together(pdf, 11 + (entry_height(pdf, group.entries[0]) if group.entries else 0))
        pdf.ln(2.5)
        face(pdf, "B", 11.5)
        paragraph(pdf, group.heading, 5.8)
        rule(pdf, LINE, 0.3)
        pdf.ln(1.5)
        for entry in group.entries:
            entry_on(pdf, entry)
    if part.table:
        table_on(pdf, part.table)


def entry_on(pdf: "FPDF", entry: Entry) -> None:
    keep_together(pdf, entry_height(pdf, entry))
    top = pdf.get_y()
    face(pdf, "B", BODY, SOFT)
    pdf.cell(INDENT - 3, 5.2, str(entry.number), align="R")
    pdf.set_left_margin(MARGIN + INDENT)
    pdf.set_xy(MARGIN + INDENT, top)
    if entry.tick:
        pdf.set_draw_color(*INK)
        pdf.set_line_width(0.3)
        pdf.rect(MARGIN + INDENT, top + 0.9, 3.4, 3.4)
        pdf.set_x(MARGIN + INDENT + 5.2)
    face(pdf, "B", BODY)
    title = shown(entry.title)
    pdf.write(5.2, title + ("  " if entry.tags else ""))
    if entry.tags:
        face(pdf, "I", BODY, MARK)
        pdf.write(5.2, f"({shown('; '.join(entry.tags))})")
    pdf.ln(5.4)
    details(pdf, entry)
    pdf.set_left_margin(MARGIN)
    pdf.set_x(MARGIN)
    pdf.ln(1.8)


def details(pdf: "FPDF", entry: Entry) -> None:
    for label, text in entry.lines:
        labelled(pdf, label, text, 0)
    for quote in entry.quotes:
        face(pdf, "I", BODY, SOFT)
        pdf.set_x(pdf.l_margin + 2)
        paragraph(pdf, quote, 5, keep_x=True)
    for question in entry.blanks:
        face(pdf, "", BODY)
        paragraph(pdf, question, 5)
        pdf.ln(6)
        rule(pdf, INK, 0.2)
        pdf.ln(1.5)
    if entry.pictures:
        pictures_on(pdf, entry.pictures)


def labelled(pdf: "FPDF", label: str, text: str, indent: float) -> None:
    pdf.set_x(pdf.l_margin + indent)
    if label:
        face(pdf, "", BODY, SOFT)
        pdf.write(5, f"{label}: ")
    face(pdf, "", BODY)
    pdf.write(5, shown(text))
    pdf.ln(5)


def paragraph(pdf: "FPDF", text: str, height: float, keep_x: bool = False) -> None:
    if not keep_x:
        pdf.set_x(pdf.l_margin)
    pdf.multi_cell(0, height, shown(text), align="L", new_x="LMARGIN", new_y="NEXT")


def rule(pdf: "FPDF", colour: tuple[int, int, int], width: float) -> None:
    pdf.set_draw_color(*colour)
    pdf.set_line_width(width)
    pdf.line(pdf.l_margin, pdf.get_y(), pdf.w - pdf.r_margin, pdf.get_y())


def pictures_on(pdf: "FPDF", pictures: tuple[Picture, ...]) -> None:
    x, row = pdf.l_margin, 0.0
    pdf.ln(1)
    for picture in pictures:
        width, height = scaled(picture)
        if x + width > pdf.w - pdf.r_margin:
            pdf.set_y(pdf.get_y() + row + 7)
            x, row = pdf.l_margin, 0.0
        if not row:
            keep_together(pdf, height + 7)
        pdf.image(io.BytesIO(picture.data), x, pdf.get_y(), width, height, alt_text=picture.name)
        top = pdf.get_y()
        face(pdf, "", 7.5, SOFT)
        pdf.set_xy(x, top + height + 0.5)
        pdf.cell(width, 3.5, shown(fitting(pdf, picture.name, width)))
        pdf.set_xy(pdf.l_margin, top)
        x, row = x + width + 4, max(row, height)
    pdf.set_y(pdf.get_y() + row + 5)


def fitting(pdf: "FPDF", text: str, width: float) -> str:
    text = shown(text)
    while len(text) > 1 and pdf.get_string_width(text) > width - 2:
        text = text[:-2] + "…"
    return text


def scaled(picture: Picture) -> tuple[float, float]:
    """Width and height in mm, so that the longer side is PICTURE_MM."""
    longer = max(picture.width, picture.height, 1)
    return picture.width * PICTURE_MM / longer, picture.height * PICTURE_MM / longer


def entry_height(pdf: "FPDF", entry: Entry) -> float:
    """About how tall an entry is, in mm: so that short ones are not torn apart and long ones may be."""
    line = (pdf.w - 2 * MARGIN - INDENT) / 1.75  # characters that fit, about
    texts = [entry.title, *(label + text for label, text in entry.lines), *entry.quotes]
    height = sum(5.2 * (1 + int(len(t) / line)) for t in texts) + 14 * len(entry.blanks)
    return min(90, height + (PICTURE_MM + 8 if entry.pictures else 0))


def keep_together(pdf: "FPDF", height: float) -> None:
    if pdf.get_y() + height > pdf.h - pdf.b_margin:
        pdf.add_page()


def table_on(pdf: "FPDF", table: Table) -> None:
    from fpdf.fonts import FontFace

    face(pdf, "", SMALL)
    pdf.set_draw_color(*LINE)
    pdf.set_line_width(0.2)
    style: dict[str, Any] = {"borders_layout": "HORIZONTAL_LINES", "line_height": 4.4, "padding": (0.8, 2, 0.8, 0)}
    pdf.ln(1)
    with pdf.table(
        col_widths=column_widths(table), headings_style=FontFace(emphasis="BOLD", color=SOFT), text_align="LEFT", **style
    ) as drawn:
        for cells in (table.columns, *table.rows):
            row = drawn.row()
            for cell in cells:
                row.cell(shown(cell))


def column_widths(table: Table) -> tuple[int, ...]:
    """In proportion to what the columns hold, none narrower than its own heading or a tenth."""
    longest = [max(min(60, len(row[n])) for row in (table.columns, *table.rows)) for n in range(len(table.columns))]
    return tuple(max(9, n) for n in longest)


def closing(pdf: "FPDF", doc: Document) -> None:
    if doc.closing:
        keep_together(pdf, 16)
        pdf.ln(4)
        rule(pdf, LINE, 0.3)
        pdf.ln(2)
    for line in doc.closing:
        face(pdf, "", BODY, SOFT)
        paragraph(pdf, line, 5)
