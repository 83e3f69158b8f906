"""Markdown: headings by place, one point an item. Text that would be taken for markup is escaped (CommonMark 0.31, 2.4)."""

import re

from memo2list.exports import phrasing
from memo2list.exports.exporter import Sheet
from memo2list.exports.grouping import by_place
from memo2list.records import Item

MARKUP = re.compile(r"([\\`*_{}\[\]<>#|~!&])")


def write(sheet: Sheet) -> bytes:
    out = [f"# {escaped(sheet.title or 'Punch list')}", ""]
    if sheet.draft:
        out += ["**DRAFT: not reviewed yet**", ""]
    for place, items in by_place(sheet.items):
        out += [f"## {escaped(place)}", ""]
        for item in items:
            out += point(item, sheet.settings.page.decimal)
        out.append("")
    if not sheet.items:
        out += ["No items.", ""]
    out += [f"Note: {escaped(flag.reason)}." for flag in sheet.punch_list.flags]
    return ("\n".join(out).rstrip() + "\n").encode()


def escaped(text: str) -> str:
    """
    >>> escaped("3 * 4 <b>")
    '3 \\\\* 4 \\\\<b\\\\>'
    """
    return MARKUP.sub(r"\\\1", " ".join(text.split()))


def point(item: Item, decimal: str) -> list[str]:
    details = [
        phrasing.quantities(item.quantities, decimal),
        ", ".join(item.materials),
        phrasing.CERTAINTIES[item.certainty],
        "to verify" if item.kind == "verify" else "",
        "safety" if item.safety else "",
    ]
    told = "; ".join(escaped(d) for d in details if d)
    lines = [f"- **{item.number}. {escaped(item.title)}**{f' ({told})' if told else ''}"]
    lines += [f"  - {escaped(phrasing.quote_line(quote))}" for quote in item.quotes]
    lines += [f"  - To settle: {escaped(question)}" for question in item.questions]
    lines += [f"  - Caution: {escaped(caution.text)} ({escaped(caution.source)})" for caution in item.cautions]
    lines += [f"  - Look again: {escaped(flag.reason)}" for flag in item.flags]
    return lines + ([f"  - Note: {escaped(item.note)}"] if item.note else [])
