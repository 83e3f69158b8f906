"""One golden file a format and reader: what leaves the office, as an outside reader sees it.

A wanted change is accepted with `MEMO2LIST_ACCEPT=1 python -m pytest tests/exports/test_golden.py`, and then read by a person.
"""

import datetime
import io
import os
import pathlib
import zipfile

import pytest

from memo2list.exports import EXPORTERS, Sheet
from memo2list.settings import Business, PageStyle, Settings
from tests.exports.samples import sample_list

GOLDEN = pathlib.Path(__file__).parent / "golden"
SETTINGS = Settings(
    Business(
        "Larkfield Repairs", ("4 Mill Lane", "Larkfield"), "office@larkfield.example", "Thank you for walking the house with us."
    ),
    PageStyle("A4"),
)


def sheet(**given: object) -> Sheet:
    values = {
        "title": "Mill Lane 4",
        "customer": "K. Holm",
        "address": "4 Mill Lane, Larkfield",
        "made": datetime.date(2026, 3, 7),
        "settings": SETTINGS,
        "trades": {"fascia": "carpentry"},
    }
    return Sheet(sample_list(), **(values | given))  # type: ignore[arg-type]


def as_text(name: str, data: bytes) -> str:
    """What an outside reader finds in the file."""
    if name == "pdf":
        from pypdf import PdfReader

        return "\n--- page\n".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages) + "\n"
    if name == "xlsx":
        from openpyxl import load_workbook

        book = load_workbook(io.BytesIO(data))
        return "\n".join(f"{t.title}\t{cell.coordinate}\t{cell.value!r}" for t in book for row in t for cell in row) + "\n"
    if name == "bcf":
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return "\n".join(f"--- {n}\n{archive.read(n).decode()}" for n in archive.namelist()) + "\n"
    return data.decode()


CASES = [
    *((name, {}, name) for name in EXPORTERS),
    *(
        (f"{name} for {reader}", {"reader": reader}, name)
        for name in ("markdown", "html", "pdf")
        for reader in ("customer", "crew")
    ),
    ("markdown questions", {"kind": "questions"}, "markdown"),
    ("markdown by trade", {"by": "trade", "reader": "crew"}, "markdown"),
    ("pdf questions", {"kind": "questions"}, "pdf"),
    ("markdown customer with quotes", {"reader": "customer", "quotes": True}, "markdown"),
]


@pytest.mark.parametrize(("name", "given", "format_name"), CASES, ids=[c[0] for c in CASES])
def test_the_file_is_as_it_was_last_accepted(name, given, format_name):
    found = as_text(format_name, EXPORTERS[format_name].write(sheet(**given)))
    golden = GOLDEN / f"{name.replace(' ', '_')}.txt"
    if os.environ.get("MEMO2LIST_ACCEPT"):
        GOLDEN.mkdir(exist_ok=True)
        golden.write_text(found, encoding="utf-8", newline="")
    assert found == golden.read_bytes().decode()


def test_every_format_has_a_golden_file():
    assert {f"{name}.txt" for name in EXPORTERS} <= {p.name for p in GOLDEN.iterdir()}


@pytest.mark.parametrize("name", EXPORTERS)
def test_the_same_list_gives_the_same_file(name):
    first, second = EXPORTERS[name].write(sheet()), EXPORTERS[name].write(sheet())
    assert as_text(name, first) == as_text(name, second)
