"""Windows: a stretch of lines to be listed, with the talk before and after it as context.

Decoding is bound by memory traffic, so several windows are answered as one batch; a window without
the talk around it reads badly (measured: F1 0.57-0.68 against 0.64-0.78), so each carries some.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from memo2list.reading.deep.lines import Line

FOCUS_WORDS = 200
BEFORE_WORDS = 80
AFTER_WORDS = 40


@dataclass(frozen=True, slots=True)
class Window:
    """Lines `start`..`stop` are shown, `first`..`last` (exclusive) are to be listed; `place` is in force where it starts."""

    start: int
    first: int
    last: int
    stop: int
    place: str = ""

    def local(self, number: int) -> int:
        """The number a line carries in the prompt, from 1."""
        return number - self.start + 1

    def overall(self, local: int) -> int:
        return local + self.start - 1


def windows(
    talk: Sequence[Line], focus: int = FOCUS_WORDS, before: int = BEFORE_WORDS, after: int = AFTER_WORDS
) -> tuple[Window, ...]:
    """Windows whose focus stretches follow one another and cover all lines.

    The first has no talk before it and the last none after it, so theirs are longer by as much: prompts of
    like length decode together without waiting for each other.
    """
    total = sum(len(line.words) for line in talk)
    count = max(1, round((total - before - after) / focus))
    size = (total - before - after) / count
    goals = [before + size * n for n in range(1, count)] if count > 1 else []
    return tuple(
        Window(reach_back(talk, first, before), first, last, reach_on(talk, last, after)) for first, last in cuts(talk, goals)
    )


def cuts(talk: Sequence[Line], goals: Sequence[float]) -> Iterator[tuple[int, int]]:
    """Stretches of lines (first, stop) that end where the words so far reach each goal, and the rest."""
    first, words, left = 0, 0, list(goals)
    for line in talk:
        words += len(line.words)
        if left and words >= left[0] - 0.01:
            yield first, line.number + 1
            first = line.number + 1
            left = [goal for goal in left if goal > words]
    if first < len(talk):
        yield first, len(talk)


def even_cuts(talk: Sequence[Line], size: float) -> Iterator[tuple[int, int]]:
    """Stretches of about `size` words each."""
    total = sum(len(line.words) for line in talk)
    return cuts(talk, [size * n for n in range(1, max(1, round(total / size)))])


def reach_back(talk: Sequence[Line], first: int, words: int) -> int:
    while first > 0 and words > 0:
        first -= 1
        words -= len(talk[first].words)
    return first


def reach_on(talk: Sequence[Line], last: int, words: int) -> int:
    while last < len(talk) and words > 0:
        words -= len(talk[last].words)
        last += 1
    return last


def prompt(talk: Sequence[Line], window: Window) -> str:
    """What the model is asked: the lines, numbered from 1, and which of them to list."""
    asked = f"{window.local(window.first)}-{window.local(window.last - 1)}"
    rows = [
        f"{window.local(line.number)} {line.speaker + ': ' if line.speaker else ''}{line.text}"
        for line in talk[window.start : window.stop]
    ]
    place = f" Place so far: {window.place}." if window.place else ""
    return f"Punch list of lines {asked}.{place}\n" + "\n".join(rows) + f"\nList {asked}"
