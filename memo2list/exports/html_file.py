"""HTML: one file that holds everything, prints well, and fetches nothing. All text is escaped by Jinja's autoescape."""

import base64
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING

from memo2list.exports.content import DRAFT, document
from memo2list.exports.exporter import Picture, Sheet
from memo2list.exports.safety import xml_text

if TYPE_CHECKING:
    from jinja2 import Template


def write(sheet: Sheet) -> bytes:
    page = template().render(doc=document(sheet), draft_words=DRAFT, page_size=sheet.settings.page.size)
    return xml_text(page).encode("utf-8", "replace")


@cache
def template() -> "Template":
    from jinja2 import Environment, StrictUndefined

    environment = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    environment.filters["data_uri"] = data_uri
    text = resources.files("memo2list.exports").joinpath("templates/sheet.html").read_text(encoding="utf-8")
    return environment.from_string(text)


def data_uri(picture: Picture) -> str:
    return f"data:image/jpeg;base64,{base64.b64encode(picture.data).decode()}"
