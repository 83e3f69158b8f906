"""The day's timeline: when each recording ran, and where on it a picture falls."""

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from memo2list.records import Item, item_at

NEAR_MS = 15 * 60_000  # a picture this long before or after a recording is still of the walk
HOUR_MS = 3_600_000


@dataclass(frozen=True, slots=True)
class Run:
    """When a recording ran; times count in milliseconds from 1970 in UTC."""

    recording: str  # its SHA-256
    started_ms: int
    duration_ms: int

    @property
    def ended_ms(self) -> int:
        return self.started_ms + self.duration_ms


@dataclass(frozen=True, slots=True)
class Moment:
    """A time in a recording; `beside_ms` says how long before its start (negative) or after its end the picture was taken."""

    recording: str
    at_ms: int
    beside_ms: int = 0


@dataclass(frozen=True, slots=True)
class Belonging:
    """Where a picture belongs: its moment and item, or why it has none."""

    moment: Moment | None = None
    key: str = ""
    why: str = ""


def moment_of(taken_ms: int, runs: Iterable[Run]) -> Moment | None:
    """The recording that ran then, or the one that ended or began nearest; None if none ran within a quarter of an hour."""
    near = [moment_in(taken_ms, run) for run in runs]
    best = min(near, key=lambda m: abs(m.beside_ms), default=None)
    return best if best and abs(best.beside_ms) <= NEAR_MS else None


def moment_in(taken_ms: int, run: Run) -> Moment:
    at = min(max(taken_ms, run.started_ms), run.ended_ms)
    return Moment(run.recording, at - run.started_ms, taken_ms - at)


def belonging_of(taken_ms: int | None, runs: Sequence[Run], items: Iterable[Item]) -> Belonging:
    """Where a picture taken then belongs; the item being talked about, among those not dropped."""
    if taken_ms is None:
        return Belonging(why="the file does not say when it was taken")
    if not runs:
        return Belonging(why="it is not known when the recordings began")
    moment = moment_of(taken_ms, runs)
    if moment is None:
        return Belonging(why=f"taken {far(taken_ms, runs)}; is the camera's clock right?")
    item = item_at((i for i in items if i.review != "dropped"), moment.recording, moment.at_ms)
    return Belonging(moment, item.key) if item else Belonging(moment, why="nothing is listed of that recording")


def far(taken_ms: int, runs: Sequence[Run]) -> str:
    """How far from the recordings, in words.

    >>> far(7_200_000, [Run("a", 0, 600_000)]), far(0, [Run("a", 90_000_000, 1)])
    ('1 h 50 min after the walk', '25 h before the walk')
    """
    beside = min((moment_in(taken_ms, r).beside_ms for r in runs), key=abs)
    hours, minutes = divmod(round(abs(beside) / 60_000), 60)
    length = " ".join(filter(None, (f"{hours} h" if hours else "", f"{minutes} min" if minutes else "")))
    return f"{length} {'after' if beside > 0 else 'before'} the walk"


def gaps(runs: Iterable[Run]) -> tuple[int, ...]:
    """Milliseconds between the end of each recording and the start of the next, in order of time; 0 where they overlap.

    >>> gaps([Run("b", 90_000, 10_000), Run("a", 0, 30_000)])
    (60000,)
    """
    ordered = sorted(runs, key=lambda r: r.started_ms)
    return tuple(max(0, b.started_ms - a.ended_ms) for a, b in itertools.pairwise(ordered))
