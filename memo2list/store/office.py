"""Questions for the office: each is open or done, told by appended edits of the same kind as those of items."""

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import replace

from memo2list.errors import InputError
from memo2list.records import OfficeQuestion, State
from memo2list.store.changes import Change
from memo2list.store.edits import Edit, Items, effective

PREFIX = "office-"


def office_key(question: OfficeQuestion) -> str:
    """Names a question in edits: by its words and recording, so that one asked twice is answered once."""
    recording = question.quotes[0].recording[:16] if question.quotes else ""
    words = " ".join(question.text.lower().split())
    return PREFIX + hashlib.sha256(f"{recording}|{words}".encode("utf-8", "replace")).hexdigest()[:8]


def as_now(questions: Sequence[OfficeQuestion], edits: Iterable[Edit]) -> tuple[OfficeQuestion, ...]:
    """The questions, each with the state that the latest edit of it gave."""
    states: dict[str, State] = {e.key: e.new for e in effective(edits) if e.kind == "state" and e.key.startswith(PREFIX)}
    return tuple(replace(q, state=states.get(office_key(q), "open")) for q in questions)


def set_state(change: Change, questions: Sequence[OfficeQuestion], key: str, state: State) -> Items:
    """Raises InputError for a question that the job does not have. One that is in this state already is left alone."""
    asked = next((q for q in as_now(questions, change.edits) if office_key(q) == key), None)
    if asked is None:
        raise InputError("that question", f"is not asked in job {change.job.name!r}.", "Load the page again.")
    return change.items if asked.state == state else change.make("state", key, "state", asked.state, state)
