"""Numbered lines: the talk as the deep reader sees it, a few sentences of one speaker at a time."""

from dataclasses import dataclass

from memo2list.reading import passages
from memo2list.records import Passage, Transcript, WordRange

BLANK = ("", ".")
FULL = 28  # words; short sentences of one turn share a line up to about this


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a prompt; `number` counts from 0 over the whole transcript."""

    number: int
    words: WordRange
    speaker: str | None
    text: str


def lines(transcript: Transcript) -> tuple[Line, ...]:
    """The whole transcript as lines; together they cover every word once, and no line crosses a turn."""
    groups: list[list[Passage]] = []
    turn_of_last = None
    for passage in passages.split(transcript):
        turn = transcript.turn_at(passage.words.first)
        if groups and turn == turn_of_last and fits(groups[-1], passage) and not is_blank(transcript, passage):
            groups[-1].append(passage)
        else:
            groups.append([passage])
        turn_of_last = turn
    return tuple(line(transcript, number, group) for number, group in enumerate(groups))


def is_blank(transcript: Transcript, passage: Passage) -> bool:
    """Words that were said to the list (reading/steering.py): what follows them is a line of its own."""
    return all(transcript.words[n].text in BLANK for n in passage.words)


def fits(group: list[Passage], passage: Passage) -> bool:
    return passage.words.stop - group[0].words.first <= FULL


def line(transcript: Transcript, number: int, group: list[Passage]) -> Line:
    words = group[0].words.join(group[-1].words)
    said = (transcript.words[n].text for n in words)
    return Line(number, words, group[0].speaker, " ".join(text for text in said if text not in BLANK))
