"""iCalendar (RFC 5545): one VTODO for each thing to verify or settle, with a UID that stays the same; by `icalendar` (BSD)."""

import datetime
import hashlib
from collections.abc import Iterable
from typing import TYPE_CHECKING

from memo2list.exports import phrasing
from memo2list.exports.exporter import Sheet
from memo2list.exports.safety import xml_text
from memo2list.records import Item

if TYPE_CHECKING:
    from icalendar import Todo

PRODUCT = "-//memo2list//open questions//EN"
DONE = {"done": "COMPLETED", "open": "NEEDS-ACTION"}


def write(sheet: Sheet) -> bytes:
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", " ".join(_text(f"{sheet.title or 'Punch list'}: to settle").split()))
    for item, question in to_settle(sheet.items):
        calendar.add_component(todo(sheet, item, question))
    return bytes(calendar.to_ical())


def to_settle(items: Iterable[Item]) -> Iterable[tuple[Item, str]]:
    """Each thing to verify, and each open question."""
    for item in items:
        for question in item.questions or (("",) if item.kind == "verify" else ()):
            yield item, question


def todo(sheet: Sheet, item: Item, question: str) -> "Todo":
    from icalendar import Todo

    made = sheet.made or datetime.date(2000, 1, 1)
    entry = Todo()
    entry.add("uid", uid(sheet, item, question))
    entry.add("dtstamp", datetime.datetime(made.year, made.month, made.day, tzinfo=datetime.UTC))
    entry.add("summary", _text(f"{question} {item.title}" if question else f"Check: {item.title}"))
    quotes = [phrasing.quote_line(q) for q in item.quotes]
    measured = phrasing.quantities(item.quantities, sheet.settings.page.decimal)
    entry.add("description", _text("\n".join(filter(None, [f"Item {item.number}", measured, *quotes, item.note]))))
    entry.add("location", _text(", ".join(filter(None, [item.location, sheet.address]))))
    entry.add("status", DONE[item.state])
    return entry


def uid(sheet: Sheet, item: Item, question: str) -> str:
    """Made from what it is about, so that exporting again updates the entry and adds none."""
    recording = sheet.punch_list.recordings[0].sha256 if sheet.punch_list.recordings else ""
    text = "|".join((sheet.title, recording, item.key, question))
    return f"{hashlib.sha256(text.encode('utf-8', 'replace')).hexdigest()[:32]}@memo2list"


def _text(text: str) -> str:
    return xml_text(text).replace("\r\n", "\n").replace("\r", "\n")
