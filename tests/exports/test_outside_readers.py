"""Programs that others wrote open our files, and find in them what was written.

RFC 4180 (CSV), ECMA-376 (XLSX, by openpyxl), PDF (by pypdf), WHATWG HTML (by html5lib, strict), RFC 5545 (by icalendar),
WebVTT (by webvtt-py), BCF-XML 2.1 (element order of buildingSMART's markup.xsd, as a table below).
"""

import csv
import datetime
import io
import re
import uuid
import zipfile
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from memo2list.exports import EXPORTERS, Picture, Sheet
from memo2list.exports.webvtt_file import chapters
from memo2list.records import PunchList
from tests.exports.samples import RECORDING, item, long_list, quote, sample_list
from tests.exports.test_golden import sheet

RFC_4180 = re.compile(rb'(?:(?:"(?:[^"]|"")*"|[^",\r\n]*)(?:,(?:"(?:[^"]|"")*"|[^",\r\n]*))*\r\n)+')
TOPIC = (
    "ReferenceLink Title Priority Index Labels CreationDate CreationAuthor ModifiedDate ModifiedAuthor DueDate AssignedTo "
    "Stage Description"
)
GUID = re.compile(r"[a-fA-F0-9]{8}(-[a-fA-F0-9]{4}){3}-[a-fA-F0-9]{12}")
NASTY = "=cmd|' /C calc'!A0 <script>alert(1)</script> --> & \"x\" 🙂 \x00\x0b é ½ \r\n,;BEGIN:VALARM"


def write(name: str, given: Sheet) -> bytes:
    return EXPORTERS[name].write(given)


def picture() -> Picture:
    from PIL import Image

    out = io.BytesIO()
    Image.new("RGB", (80, 60), (90, 120, 140)).save(out, "JPEG")
    return Picture("porch <1>.jpg", out.getvalue(), 80, 60)


def nasty() -> Sheet:
    """A list whose every text tries to be something else."""
    everything = dict.fromkeys(("title", "element", "location", "by", "note"), NASTY)
    one = item(1, **everything, issues=(NASTY,), questions=(NASTY,), kind="verify", quotes=(quote(NASTY),), materials=(NASTY,))
    return Sheet(PunchList((RECORDING,), (one,), ()), title=NASTY, customer=NASTY, address=NASTY)


def test_csv_follows_rfc_4180_and_comes_back_from_the_csv_module():
    data = write("csv", sheet())
    assert RFC_4180.fullmatch(data)
    rows = list(csv.DictReader(io.StringIO(data.decode(), newline="")))
    assert [r["number"] for r in rows] == ["1", "2", "3"]
    assert rows[2]["title"] == "Crème brûlée colour: unknown — match"
    assert rows[2]["quantity"] == "2½–3¼ in"


def test_no_csv_cell_can_run_in_a_spreadsheet():
    rows = list(csv.reader(io.StringIO(write("csv", nasty()).decode(), newline="")))
    cells = [c for row in rows[1:] for c in row]
    assert not [c for c in cells if c.startswith(("=", "+", "-", "@", "\t", "\r"))]
    assert any(c.startswith("'=cmd") for c in cells)


def test_xlsx_keeps_numbers_as_numbers_and_texts_as_texts():
    from openpyxl import load_workbook

    book = load_workbook(io.BytesIO(write("xlsx", sheet())))
    table = book["Items"]
    heads = [c.value for c in table[1]]
    first = dict(zip(heads, [c.value for c in table[2]], strict=True))
    third = dict(zip(heads, [c.value for c in table[4]], strict=True))
    assert (first["No."], first["Amount"], first["Unit"], first["About"]) == (1, 12, "ft", "about")
    assert (third["Amount"], third["To"]) == (2.5, 3.25)
    assert table.auto_filter.ref == f"A1:{table.cell(1, len(heads)).column_letter}4"
    assert (table.freeze_panes, table.page_setup.orientation, table.print_title_rows) == ("A2", "landscape", "$1:$1")
    assert book.sheetnames == ["Items", "Questions", "Quantities", "Set aside"]


def test_no_xlsx_cell_is_a_formula():
    from openpyxl import load_workbook

    book = load_workbook(io.BytesIO(write("xlsx", nasty())))
    assert not [c for t in book for row in t for c in row if c.data_type == "f"]


def test_pdf_is_read_with_accents_fractions_and_page_numbers():
    from pypdf import PdfReader

    reader = PdfReader(io.BytesIO(write("pdf", sheet())))
    text = "".join(p.extract_text() for p in reader.pages)
    assert "Crème brûlée" in text
    assert "2½–3¼ in" in text
    assert f"Page 1 of {len(reader.pages)}" in text


@pytest.mark.parametrize(("size", "width"), [("A4", 595), ("Letter", 612)])
def test_pdf_pages_have_the_size_asked_for(size, width):
    from pypdf import PdfReader

    from memo2list.settings import PageStyle, Settings

    data = write("pdf", sheet(settings=Settings(page=PageStyle(size))))
    assert round(PdfReader(io.BytesIO(data)).pages[0].mediabox.width) == width


def test_every_page_of_an_unreviewed_list_says_draft_and_no_page_of_a_reviewed_one():
    from pypdf import PdfReader

    def pages(items):
        data = write("pdf", Sheet(PunchList((RECORDING,), items, ()), title="T", reader="customer"))
        return [p.extract_text() for p in PdfReader(io.BytesIO(data)).pages]

    from dataclasses import replace

    items = long_list(40).items
    drafts, finished = pages(items), pages(tuple(replace(i, review="kept") for i in items))
    assert len(drafts) > 2
    assert all("DRAFT" in p for p in drafts)
    assert not any("DRAFT" in p for p in finished)


@pytest.mark.parametrize("reader", ["customer", "crew", "office"])
def test_html_is_valid_and_holds_everything_itself(reader):
    import html5lib

    pictured = sheet(reader=reader, pictures={"key1": (picture(),)})
    data = write("html", pictured).decode()
    html5lib.HTMLParser(strict=True).parse(data)
    assert not re.findall(r'(?:src|href)="(?!data:)', data)
    assert 'alt="porch &lt;1&gt;.jpg"' in data


def test_html_runs_nothing_that_somebody_said():
    import html5lib

    tree = html5lib.parse(write("html", nasty()).decode(), namespaceHTMLElements=False)
    assert not list(tree.iter("script"))


def test_pdf_with_pictures_and_nasty_text_opens():
    from dataclasses import replace

    from pypdf import PdfReader

    given = replace(nasty(), pictures={"key1": (picture(),) * 5})
    assert any(p.images for p in PdfReader(io.BytesIO(write("pdf", given))).pages)


def test_icalendar_has_one_todo_a_question_with_a_uid_that_stays():
    from icalendar import Calendar

    first, second = (Calendar.from_ical(write("icalendar", sheet(made=datetime.date(2026, 3, d)))) for d in (7, 8))
    todos = list(first.walk("VTODO"))
    assert str(todos[0]["summary"]) == "Which side of the downspout? Fascia: rot — replace"
    assert [t["uid"] for t in todos] == [t["uid"] for t in second.walk("VTODO")]
    assert len({t["uid"] for t in todos}) == len(todos) == 2


def test_nothing_said_becomes_a_calendar_entry_of_its_own():
    from icalendar import Calendar

    data = write("icalendar", nasty())
    assert [c.name for c in Calendar.from_ical(data).walk()] == ["VCALENDAR", "VTODO"]
    assert all(len(line) <= 75 for line in data.split(b"\r\n"))


def test_webvtt_is_read_by_another_parser_with_times_and_titles(tmp_path):
    import webvtt

    (tmp_path / "a.vtt").write_bytes(write("webvtt", sheet()))
    cues = list(webvtt.read(str(tmp_path / "a.vtt")))
    assert (cues[0].start, cues[0].identifier) == ("00:00:12.340", "item 1")
    assert "Fascia: rot — replace" in cues[0].text


def test_chapters_follow_each_other_to_the_end_of_the_recording(tmp_path):
    import webvtt

    (tmp_path / "a.vtt").write_text(chapters(sheet(), RECORDING))
    cues = list(webvtt.read(str(tmp_path / "a.vtt")))
    assert [c.end for c in cues] == [*(c.start for c in cues[1:]), "00:05:01.200"]


def test_words_that_look_like_a_cue_make_no_cue(tmp_path):
    import webvtt

    (tmp_path / "a.vtt").write_bytes(write("webvtt", nasty()))
    assert len(list(webvtt.read(str(tmp_path / "a.vtt")))) == 1


def test_bcf_follows_the_published_schema():
    with zipfile.ZipFile(io.BytesIO(write("bcf", sheet()))) as archive:
        assert archive.testzip() is None
        version = ElementTree.fromstring(archive.read("bcf.version"))
        assert version.attrib == {"VersionId": "2.1"}
        markups = [n for n in archive.namelist() if n.endswith("markup.bcf")]
        assert len(markups) == 3
        for name in markups:
            check_markup(name, ElementTree.fromstring(archive.read(name)))


def check_markup(name: str, root: ElementTree.Element) -> None:
    assert [c.tag for c in root] == ["Topic", *["Comment"] * (len(root) - 1)]
    topic = root[0]
    assert topic.attrib["Guid"] == name.split("/")[0]
    order = [TOPIC.split().index(c.tag) for c in topic]
    assert order == sorted(order)
    assert {"Title", "CreationDate", "CreationAuthor"} <= {c.tag for c in topic}
    assert datetime.datetime.fromisoformat(topic.findtext("CreationDate"))
    for comment in root[1:]:
        assert GUID.fullmatch(comment.attrib["Guid"])
        assert [c.tag for c in comment] == ["Date", "Author", "Comment"]


def test_bcf_topics_keep_their_guid_when_exported_again():
    def names() -> list[str]:
        return zipfile.ZipFile(io.BytesIO(write("bcf", sheet()))).namelist()

    assert names() == names()
    assert uuid.UUID(names()[2].split("/")[0]).version == 5


@settings(max_examples=25, deadline=None)
@given(st.text(max_size=60))
def test_whatever_was_said_every_format_can_be_written_and_read(text):
    from icalendar import Calendar
    from openpyxl import load_workbook

    one = item(1, title=text, note=text, location=text or None, quotes=(quote(text),), questions=(text,))
    given = Sheet(PunchList((RECORDING,), (one,), ()), title=text)
    files = {name: e.write(given) for name, e in EXPORTERS.items() if name != "pdf"}
    load_workbook(io.BytesIO(files["xlsx"]))
    Calendar.from_ical(files["icalendar"])
    with zipfile.ZipFile(io.BytesIO(files["bcf"])) as archive:
        for name in archive.namelist():
            ElementTree.fromstring(archive.read(name))


@settings(max_examples=10, deadline=None)
@given(st.text(max_size=200))
def test_whatever_was_said_fits_on_a_pdf_page(text):
    from pypdf import PdfReader

    one = item(1, title=text, note=text, location=text or None, quotes=(quote(text * 5),), questions=(text,))
    PdfReader(io.BytesIO(write("pdf", Sheet(PunchList((RECORDING,), (one,), ()), title=text)))).pages[0].extract_text()


def test_an_empty_list_can_be_written_in_every_format():
    for exporter in EXPORTERS.values():
        assert exporter.write(Sheet(PunchList((), (), ())))


def test_the_sample_has_something_of_everything():
    kinds = {i.kind for i in sample_list().items}
    assert kinds == {"problem", "work", "verify"}


def test_captions_of_a_recording_that_is_not_there_are_refused_with_the_names():
    from memo2list.errors import InputError

    with pytest.raises(InputError, match="larkfield walk"):
        write("webvtt", sheet(recording="other.m4a"))


def test_each_recording_gets_its_own_captions():
    second = RECORDING.__class__("second.wav", "b" * 64, 60_000, "")
    both = PunchList((RECORDING, second), (item(1), item(2, quotes=(quote("later on", recording="b" * 64),))), ())
    assert b"later on" not in write("webvtt", Sheet(both))
    assert b"later on" in write("webvtt", Sheet(both, recording="second.wav"))
