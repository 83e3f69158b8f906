"""What an exporter is, and what it is given.

To add a format: write one module here with a function `write(sheet: Sheet) -> bytes`, add one line to `EXPORTERS` in
`__init__.py`, and keep one golden file in `tests/exports/golden/`.
"""

import datetime
import importlib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from memo2list.records import Item, PunchList
from memo2list.settings import Settings

ReaderOfSheet = Literal["customer", "crew", "office"]
SHEET_READERS: tuple[ReaderOfSheet, ...] = ("customer", "crew", "office")


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture of an item, sent in or a frame of a video; its place data is already removed."""

    name: str  # as the user knows it
    data: bytes  # JPEG, scaled for documents
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Sheet:
    """One list for one kind of reader."""

    punch_list: PunchList
    title: str = ""  # the job's name; "" for a list that is not stored
    customer: str = ""
    address: str = ""
    reader: ReaderOfSheet = "office"
    kind: Literal["list", "questions", "chapters"] = "list"  # all; what is to be settled; chapters instead of captions
    recording: str = ""  # WebVTT: name or SHA-256 of the recording; "" for the first
    by: Literal["place", "trade"] = "place"
    quotes: bool | None = None  # None: as that reader usually wants it
    made: datetime.date | None = None  # None: not printed
    settings: Settings = field(default_factory=Settings)
    pictures: Mapping[str, tuple[Picture, ...]] = field(default_factory=dict)  # by item key
    trades: Mapping[str, str] = field(default_factory=dict)  # element → trade, where the lexicon knows it

    @property
    def items(self) -> tuple[Item, ...]:
        """What goes on the sheet: everything but what was dropped, in the list's order."""
        return tuple(i for i in self.punch_list.items if i.review != "dropped")

    @property
    def draft(self) -> bool:
        """Whether any item still waits for review."""
        return any(i.review == "unreviewed" for i in self.items)

    def for_reader(self, reader: ReaderOfSheet) -> "Sheet":
        return replace(self, reader=reader)


@dataclass(frozen=True, slots=True)
class Exporter:
    """One format: the module that writes it, the usual ending of its files, and what it is for."""

    module: str  # inside memo2list.exports
    suffix: str
    about: str
    text: bool = True  # may be printed on a terminal
    pictures: bool = False  # shows pictures

    def write(self, sheet: Sheet) -> bytes:
        """The whole file. The module is imported only now."""
        written = importlib.import_module(f"memo2list.exports.{self.module}").write(sheet)
        return bytes(written)
