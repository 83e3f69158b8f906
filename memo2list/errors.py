"""Two kinds of wrong.

Trouble in somebody's material (an unreadable file in a batch, a bad line in a lexicon pack) is a
`Problem`: a value with its place and a remedy, and the rest carries on. Trouble that stops the call
is an exception below; its message is one line and ends with what to do next.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """Something wrong in material handed to us, said so that its owner can put it right."""

    where: str  # file, file:line, or job
    what: str  # what is wrong, in one sentence
    remedy: str  # what to do next

    def __str__(self) -> str:
        return f"{self.where}: {self.what} {self.remedy}"


class Memo2listError(Exception):
    """Base of all errors this package raises on purpose; `str(error)` is fit to show a user."""

    exit_code = 1


class InputError(Memo2listError):
    """A file, folder or name given by the user cannot be used."""

    def __init__(self, where: object, what: str, remedy: str):
        self.where, self.what, self.remedy = str(where), what, remedy
        super().__init__(f"{where}: {what} {remedy}")


class WeightsError(Memo2listError):
    """Model weights are missing or are not the bytes we expect."""


class LexiconError(Memo2listError):
    """The lexicon cannot be used; `problems` names file, line and remedy of each fault."""

    def __init__(self, problems: tuple[Problem, ...]):
        self.problems = problems
        super().__init__("; ".join(str(p) for p in problems))


class StoreError(Memo2listError):
    """The store cannot be opened, read or written."""


class UnknownJobError(StoreError):
    """No job of that name."""

    def __init__(self, name: str, near: tuple[str, ...] = ()):
        self.name, self.near = name, near
        hint = f"Did you mean {' or '.join(repr(n) for n in near)}?" if near else "`memo2list jobs` shows the jobs there are."
        super().__init__(f"there is no job {name!r}. {hint}")


class JobExistsError(StoreError):
    """A job of that name is there already."""

    def __init__(self, name: str):
        self.name = name
        super().__init__(f"there is a job {name!r} already. Choose another name, or add the recording to that job.")


class UnknownItemError(StoreError):
    """The job has no such item (now)."""

    def __init__(self, job: str, item: object):
        self.job, self.item = job, item
        super().__init__(f"job {job!r} has no item {item}. `memo2list list {job}` shows the items there are.")


class NothingToUndoError(StoreError):
    """There is no change left to undo, or to do again."""

    def __init__(self, job: str, word: str):
        self.job = job
        super().__init__(f"job {job!r} has no change left to {word}. `memo2list edits {job}` shows its changes.")


class StaleEditError(StoreError):
    """An edit was made against a value that somebody has changed since; both values are shown."""

    def __init__(self, number: int, field: str, expected: object, found: object):
        self.number, self.field, self.expected, self.found = number, field, expected, found
        super().__init__(
            f"item {number}: {field} was {expected!r} when you began and is {found!r} now. "
            "Look at it again, then repeat the change."
        )
