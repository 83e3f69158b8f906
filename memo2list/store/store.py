"""The store as others use it: one object with one method a question or change. The package's docstring shows them all."""

import functools
import threading
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from memo2list.errors import InputError, UnknownItemError
from memo2list.records import Item, PunchList, SetAside, State, Transcript
from memo2list.store import changes, jobs, lists, naming, office, pictures, recordings, removal
from memo2list.store.again import AgainReport
from memo2list.store.changes import Change
from memo2list.store.database import StoreDatabase
from memo2list.store.edits import Edit, moved
from memo2list.store.jobs import Job
from memo2list.store.picture_times import PictureTime
from memo2list.store.pictures import KeptPicture
from memo2list.store.recordings import KeptRecording
from memo2list.store.timeline import Run

if TYPE_CHECKING:
    from memo2list.store.history import Recurring
    from memo2list.store.query import SearchLexicon, Vocabulary
    from memo2list.store.search import Filters, How, Results

Items = tuple[Item, ...]


def open_store(folder: Path | str, lexicon: "SearchLexicon | None" = None) -> "Store":
    """The store in that folder, made if it is not there; `lexicon` is for search. Raises StoreError if it cannot be used."""
    return Store(StoreDatabase(Path(folder)), lexicon)


class Store:
    """Jobs and everything that belongs to them. Methods name jobs by their name; see the package's docstring."""

    def __init__(self, db: StoreDatabase, lexicon: "SearchLexicon | None" = None):
        self.db, self._lexicon = db, lexicon
        self._together = threading.local()

    @property
    def folder(self) -> Path:
        return self.db.folder

    def close(self) -> None:
        self.db.close()

    def __enter__(self) -> "Store":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    # jobs and recordings

    def jobs(self) -> tuple[Job, ...]:
        return jobs.all_jobs(self.db)

    def job(self, name: str) -> Job:
        return jobs.find_job(self.db, name)

    def add_job(self, name: str, customer: str = "", address: str = "") -> Job:
        return jobs.add_job(self.db, name, customer, address)

    def remove_job(self, name: str) -> None:
        removal.remove_job(self.db, self.job(name))

    def has_recording(self, job: str, sha256: str) -> bool:
        return recordings.has_recording(self.db, self.job(job), sha256)

    def keep_recording(self, job: str, file: Path, transcript: Transcript) -> None:
        recordings.keep_recording(self.db, self.job(job), file, transcript)

    def hear_again(self, job: str, transcript: Transcript) -> None:
        recordings.hear_again(self.db, self.job(job), transcript)

    def recordings(self, job: str) -> tuple[KeptRecording, ...]:
        return recordings.recordings(self.db, self.job(job))

    def transcripts(self, job: str) -> tuple[Transcript, ...]:
        return recordings.transcripts(self.db, self.job(job))

    # lists

    def save_list(self, job: str, punch_list: PunchList) -> AgainReport:
        return lists.save_list(self.db, self.job(job), punch_list)

    def punch_list(self, job: str) -> PunchList:
        found = lists.punch_list(self.db, self.job(job))
        return replace(found, questions=office.as_now(found.questions, self.edits(job))) if found.questions else found

    def items(self, job: str) -> Items:
        return lists.current_items(self.db, self.job(job))

    def set_aside(self, job: str) -> tuple[SetAside, ...]:
        return lists.base_list(self.db, self.job(job)).set_aside

    def item(self, job: str, key_or_number: str | int) -> Item:
        wanted = str(key_or_number)
        for item in self.items(job):
            if wanted in (item.key, str(item.number)):
                return item
        raise UnknownItemError(self.job(job).name, key_or_number)

    def edits(self, job: str, key: str | None = None) -> tuple[Edit, ...]:
        return lists.edits_of(self.db, self.job(job), key)

    def attach(self, job: str, key: str, file: Path, name: str = "") -> int:
        """With "" as key the picture's time says which item it belongs to. Gives the picture's number."""
        return pictures.attach(self.db, self.job(job), self.item(job, key).key if key else "", file, name)

    def pictures(self, job: str) -> tuple[KeptPicture, ...]:
        """Each with the key of the item it belongs to now: a merged item's pictures go with it."""
        found = self.job(job)
        merged, ran = moved(lists.edits_of(self.db, found)), recordings.runs(self.db, found)
        return pictures.pictures(self.db, found, merged, ran, lists.current_items(self.db, found))

    def jobs_with_picture(self, sha256: str) -> tuple[str, ...]:
        return pictures.jobs_with(self.db, sha256)

    def jobs_then(self, taken: PictureTime) -> tuple[str, ...]:
        """Jobs whose recordings ran when a picture was taken: most often one, several in doubt, none if it is not known."""
        return pictures.jobs_then(self.db, taken)

    def runs(self) -> dict[str, tuple[Run, ...]]:
        """When the recordings of each job ran, as far as it is known."""
        return recordings.runs_of_all(self.db)

    def give_picture(self, job: str, number: int, key: str) -> None:
        pictures.give(self.db, self.job(job), number, self.item(job, key).key if key else "")

    def set_clock(self, job: str, camera: str, offset_ms: int) -> None:
        pictures.set_clock(self.db, self.job(job), camera, offset_ms)

    def clocks(self, job: str) -> dict[str, int]:
        return pictures.clocks(self.db, self.job(job))

    def set_start(self, job: str, sha256: str, started_ms: int | None, by: str) -> None:
        recordings.set_start(self.db, self.job(job), sha256, started_ms, by)

    # search

    @functools.cached_property
    def vocabulary(self) -> "Vocabulary":
        """The lexicon as search needs it, loaded when first asked for."""
        from memo2list.store.query import Vocabulary
        from memo2list.vocabulary.lexicon import load_lexicon

        return Vocabulary(self._lexicon or load_lexicon())

    def search(
        self, text: str, filters: "Filters | None" = None, limit: int = 20, offset: int = 0, how: "How" = "fused"
    ) -> "Results":
        from memo2list.store.search import Filters, search

        return search(self.db, text, self.vocabulary, filters or Filters(), limit, offset, how)

    def similar(self, job: str, key: str, limit: int = 3, other_jobs: bool = False) -> "Results":
        from memo2list.store.search import similar

        return similar(self.db, self.job(job), key, self.vocabulary, limit, other_jobs)

    def history(self, by: str = "element", least: int = 1) -> "tuple[Recurring, ...]":
        from memo2list.store.history import history

        trades = {e.name: e.trade for e in self.vocabulary.lexicon.entries if e.kind == "element"} if by == "trade" else {}
        return history(self.db, by, trades, least)

    # changes

    def _change(self, job: str, who: str, make: Callable[[Change], Items]) -> Items:
        found = self.job(job)
        with self.db.write():
            return make(Change(self.db, found, who, getattr(self._together, "at", "")))

    @contextmanager
    def together(self) -> Iterator[None]:
        """Changes of this thread that are one: all or none of them are kept, and one undo takes them back."""
        with self.db.write():
            self._together.at = jobs.now()
            try:
                yield
            finally:
                self._together.at = ""

    def edit(self, job: str, key: str, field: str, expected: Any, new: Any, who: str = "") -> Items:
        return self._change(job, who, lambda c: changes.set_field(c, key, field, expected, new))

    def keep(self, job: str, key: str, who: str = "") -> Items:
        return self._change(job, who, lambda c: changes.review(c, key, "keep"))

    def drop(self, job: str, key: str, why: str = "", who: str = "") -> Items:
        return self._change(job, who, lambda c: changes.review(c, key, "drop", why))

    def undrop(self, job: str, key: str, who: str = "") -> Items:
        return self._change(job, who, lambda c: changes.review(c, key, "undrop"))

    def merge(self, job: str, key: str, others: Iterable[str], who: str = "") -> Items:
        return self._change(job, who, lambda c: changes.merge(c, key, others))

    def split(
        self, job: str, key: str, quotes: Iterable[int] = (), fields: Mapping[str, Any] | None = None, who: str = ""
    ) -> Items:
        return self._change(job, who, lambda c: changes.split(c, key, quotes, fields or {}))

    def move(self, job: str, key: str, after: str, who: str = "") -> Items:
        return self._change(job, who, lambda c: changes.move(c, key, after))

    def add_item(self, job: str, fields: Mapping[str, Any], who: str = "") -> Items:
        return self._change(job, who, lambda c: changes.add_item(c, fields))

    def note(self, job: str, key: str, text: str, who: str = "") -> Items:
        return self._change(job, who, lambda c: changes.set_freely(c, key, "note", text))

    def set_state(self, job: str, key: str, state: State, who: str = "") -> Items:
        return self._change(job, who, lambda c: changes.set_freely(c, key, "state", state))

    def set_office_state(self, job: str, key: str, state: State, who: str = "") -> Items:
        asked = lists.base_list(self.db, self.job(job)).questions
        return self._change(job, who, lambda c: office.set_state(c, asked, key, state))

    def name_speakers(self, job: str, recording: str, given: Mapping[str, str], who: str = "") -> Items:
        """`given` has a name for labels of speakers of that recording; "" takes a name back. One change, one undo."""
        heard = next((t for t in self.transcripts(job) if t.recording.sha256 == recording), None)
        if heard is None:
            raise InputError("that recording", f"is not in job {job!r}.", "Load the page again.")
        before = naming.names(heard, self.edits(job))
        wanted = {label: " ".join(name.split()) for label, name in given.items()}
        with self.together():
            for label in (label for label, name in wanted.items() if before.get(label) != name):
                self._change(job, who, lambda c, label=label: naming.set_name(c, heard, label, wanted[label]))  # type: ignore[misc]
            after = naming.names(heard, self.edits(job))
            first = lists.base_list(self.db, self.job(job)).items
            for item, by in naming.said_by(self.items(job), first, heard, before, after):
                self.edit(job, item.key, "by", item.by, by, who)
        return self.items(job)

    def undo(self, job: str, who: str = "") -> Items:
        return self._change(job, who, changes.undo)

    def redo(self, job: str, who: str = "") -> Items:
        return self._change(job, who, changes.redo)
