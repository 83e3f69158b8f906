"""What the page works on: one job of the store, and what is loaded once for it."""

import functools
import threading
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from memo2list.records import PunchList, Recording, Transcript
from memo2list.review_page.door import Door
from memo2list.review_page.view_models import LineView, day_of, line_view
from memo2list.store import Store
from memo2list.store.edits import Edit, effective
from memo2list.store.pictures import KeptPicture
from memo2list.store.recordings import KeptRecording
from memo2list.vocabulary.lexicon import Lexicon, load_lexicon


@dataclass
class Desk:
    """One job on the table. Safe to use from several threads."""

    store: Store
    job: str
    door: Door
    own_lexicon: Path
    lan_url: str = ""  # "http://192.168.0.7:8000", "" where the page is for this machine only
    model: str = "base"  # what recordings that are sent in are heard with
    changing: threading.RLock = field(default_factory=threading.RLock)  # looking at a value and changing it go together

    def punch_list(self) -> PunchList:
        return self.store.punch_list(self.job)

    def edits(self) -> tuple[Edit, ...]:
        return self.store.edits(self.job)

    def pictures(self) -> tuple[KeptPicture, ...]:
        return self.store.pictures(self.job)

    def lines(self, found: PunchList, edits: tuple[Edit, ...], pictures: tuple[KeptPicture, ...]) -> list[LineView]:
        recordings, done = recordings_of(found), done_days(edits)
        pictured = {p.key for p in pictures}
        return [line_view(item, recordings, done.get(item.key, ""), item.key in pictured) for item in found.items]

    def kept(self, sha256: str) -> KeptRecording | None:
        """The recording of that hash, if it belongs to this job."""
        return next((k for k in self.recordings() if k.recording.sha256 == sha256), None)

    def recordings(self) -> tuple[KeptRecording, ...]:
        return self.store.recordings(self.job)

    def transcripts(self) -> tuple[Transcript, ...]:
        return self.store.transcripts(self.job)

    @functools.cached_property
    def lexicon(self) -> Lexicon:
        return load_lexicon(user_folder=self.own_lexicon)

    @functools.cached_property
    def words(self) -> dict[str, list[str]]:
        """Names of the lexicon by kind, for completing what is typed."""
        kinds = ("element", "problem", "action", "material", "place")
        return {kind: sorted({e.name for e in self.lexicon.of_kind(kind)}) for kind in kinds}  # type: ignore[arg-type]


def recordings_of(found: PunchList) -> Mapping[str, Recording]:
    return {r.sha256: r for r in found.recordings}


def done_days(edits: tuple[Edit, ...]) -> dict[str, str]:
    """The day each item was last called done."""
    days = {}
    for edit in effective(edits):
        if edit.kind == "state":
            days[edit.key] = day_of(edit.at) if edit.new == "done" else ""
    return days
