"""Markdown: headings by place, one point an item. Text that would be taken for markup is escaped (CommonMark 0.31, 2.4)."""

import re
from collections.abc import Iterator

from memo2list.exports.content import DRAFT, Document, Entry, Part, Table, document
from memo2list.exports.exporter import Sheet

MARKUP = re.compile(r"([\\`*_{}\[\]<>#|~!&])")
BLANK = "\\_" * 24


def write(sheet: Sheet) -> bytes:
    return ("\n".join(lines(document(sheet))).rstrip() + "\n").encode()


def lines(doc: Document) -> Iterator[str]:
    yield from (f"# {escaped(doc.title)}: {doc.kind.lower()}", "")
    if doc.draft:
        yield from (f"**{DRAFT}**", "")
    for label, text in doc.about:
        yield f"- {label}: {escaped(text)}"
    yield ""
    for part in doc.parts:
        yield from part_lines(part)
    for text in doc.closing:
        yield from (escaped(text), "")


def part_lines(part: Part) -> Iterator[str]:
    if part.heading:
        yield from (f"## {escaped(part.heading)}", "")
    if part.intro:
        yield from (escaped(part.intro), "")
    for group in part.groups:
        yield from (f"### {escaped(group.heading)}", "")
        for entry in group.entries:
            yield from entry_lines(entry)
        yield ""
    if part.table:
        yield from (*table_lines(part.table), "")


def entry_lines(entry: Entry) -> Iterator[str]:
    tags = f" ({escaped('; '.join(entry.tags))})" if entry.tags else ""
    yield f"- {'[ ] ' if entry.tick else ''}**{entry.number}. {escaped(entry.title)}**{tags}"
    for label, text in entry.lines:
        yield f"  - {escaped(label)}: {escaped(text)}"
    for quote in entry.quotes:
        yield f"  - {escaped(quote)}"
    for question in entry.blanks:
        yield f"  - {escaped(question)} {BLANK}"


def table_lines(table: Table) -> Iterator[str]:
    yield f"| {' | '.join(table.columns)} |"
    yield f"|{'---|' * len(table.columns)}"
    for row in table.rows:
        yield f"| {' | '.join(escaped(cell) for cell in row)} |"


def escaped(text: str) -> str:
    r"""
    >>> print(escaped("3 * 4 <b>"))
    3 \* 4 \<b\>
    """
    return MARKUP.sub(r"\\\1", " ".join(text.split()))
