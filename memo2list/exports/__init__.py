"""Files that leave the office, one module a format; `EXPORTERS` is the list of what there is."""

from memo2list.errors import InputError
from memo2list.exports.exporter import Exporter, Picture, Sheet

EXPORTERS: dict[str, Exporter] = {
    "json": Exporter("json_file", ".json", "the list for other programs, with a JSON Schema"),
    "csv": Exporter("csv_file", ".csv", "one row an item, for a spreadsheet or database"),
    "markdown": Exporter("markdown", ".md", "text with headings, for notes and messages"),
    "html": Exporter("html_file", ".html", "one page that holds everything, for a browser or a mail", pictures=True),
    "pdf": Exporter("pdf", ".pdf", "pages to hand over or print, A4 or Letter", text=False, pictures=True),
    "xlsx": Exporter("xlsx", ".xlsx", "a workbook with items, questions and sums of quantities", text=False),
    "webvtt": Exporter("webvtt_file", ".vtt", "captions that show the items while the recording plays"),
    "icalendar": Exporter("icalendar_file", ".ics", "one to-do for each thing to verify or settle"),
    "bcf": Exporter("bcf", ".bcfzip", "issues in buildingSMART's open format", text=False),
    "text": Exporter("plain", ".txt", "plain lines, for a terminal or a pipe"),
}


def exporter(name: str) -> Exporter:
    """The exporter of that name; InputError with the names there are."""
    if name not in EXPORTERS:
        raise InputError(repr(name), "is not an export format.", f"Choose one of: {', '.join(sorted(EXPORTERS))}.")
    return EXPORTERS[name]


__all__ = ["EXPORTERS", "Exporter", "Picture", "Sheet", "exporter"]
