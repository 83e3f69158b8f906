"""BCF 2.1, buildingSMART's open format for issues: a zip with one folder a topic and an XML markup in each.

Written by the published schema (buildingSMART, BCF-XML release 2.1: markup.xsd, version.xsd, project.xsd) with zipfile and
ElementTree; the usual client library is GPL and needs a geometry kernel. Topics have no viewpoints: there is no model here.
"""

import datetime
import io
import uuid
import zipfile
from xml.etree import ElementTree

from memo2list.exports import phrasing
from memo2list.exports.exporter import Sheet
from memo2list.exports.safety import xml_text
from memo2list.records import Item

SPACE = uuid.UUID("6f0f3a6c-5f0e-5d0c-9d1a-0b6d4c8f2a11")  # ours: topics of the same item get the same Guid each time
ZIP_DATE = (1980, 1, 1, 0, 0, 0)
TYPES = {"problem": "Problem", "work": "Work", "verify": "To verify"}
AUTHOR = "memo2list"


def write(sheet: Sheet) -> bytes:
    made = sheet.made or datetime.date(2000, 1, 1)
    stamp = f"{made.isoformat()}T00:00:00Z"
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        _add(archive, "bcf.version", version())
        _add(archive, "project.bcfp", project(sheet))
        for item in sheet.items:
            guid = topic_guid(sheet, item)
            _add(archive, f"{guid}/markup.bcf", markup(sheet, item, guid, stamp))
    return out.getvalue()


def version() -> ElementTree.Element:
    root = ElementTree.Element("Version", {"VersionId": "2.1"})
    _child(root, "DetailedVersion", "2.1")
    return root


def project(sheet: Sheet) -> ElementTree.Element:
    root = ElementTree.Element("ProjectExtension")
    inner = ElementTree.SubElement(root, "Project", {"ProjectId": str(uuid.uuid5(SPACE, xml_text(sheet.title)))})
    _child(inner, "Name", sheet.title or "Punch list")
    _child(root, "ExtensionSchema", "")
    return root


def markup(sheet: Sheet, item: Item, guid: str, stamp: str) -> ElementTree.Element:
    """Elements in the order of markup.xsd: Topic (Title, Index, Labels, CreationDate, CreationAuthor, Description), Comment."""
    root = ElementTree.Element("Markup")
    status = "Closed" if item.state == "done" else "Open"
    topic = ElementTree.SubElement(root, "Topic", {"Guid": guid, "TopicType": TYPES[item.kind], "TopicStatus": status})
    _child(topic, "Title", item.title or item.element)
    _child(topic, "Index", str(item.number))
    for label in filter(None, [item.location, item.certainty, "safety" if item.safety else "", *item.issues]):
        _child(topic, "Labels", label)
    _child(topic, "CreationDate", stamp)
    _child(topic, "CreationAuthor", AUTHOR)
    _child(topic, "Description", description(sheet, item))
    for number, quote in enumerate(item.quotes):
        comment = ElementTree.SubElement(root, "Comment", {"Guid": str(uuid.uuid5(uuid.UUID(guid), f"quote {number}"))})
        _child(comment, "Date", stamp)
        _child(comment, "Author", item.by or AUTHOR)
        _child(comment, "Comment", phrasing.quote_line(quote))
    return root


def description(sheet: Sheet, item: Item) -> str:
    measured = phrasing.quantities(item.quantities, sheet.settings.page.decimal)
    lines = [phrasing.place(item), measured, ", ".join(item.materials), *(f"To settle: {q}" for q in item.questions)]
    lines += [f"Caution: {c.text} ({c.source})" for c in item.cautions] + [item.note]
    return "\n".join(line for line in lines if line)


def topic_guid(sheet: Sheet, item: Item) -> str:
    recording = sheet.punch_list.recordings[0].sha256 if sheet.punch_list.recordings else ""
    return str(uuid.uuid5(SPACE, xml_text("|".join((sheet.title, recording, item.key)))))


def _child(parent: ElementTree.Element, name: str, text: str) -> None:
    ElementTree.SubElement(parent, name).text = xml_text(text)


def _add(archive: zipfile.ZipFile, name: str, root: ElementTree.Element) -> None:
    entry = zipfile.ZipInfo(name, ZIP_DATE)
    entry.compress_type = zipfile.ZIP_DEFLATED
    archive.writestr(entry, ElementTree.tostring(root, "utf-8", xml_declaration=True))
