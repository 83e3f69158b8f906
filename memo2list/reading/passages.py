"""Passages: stretches that make one statement, cut at turns, sentence ends and pauses.

Recognisers put sentence ends in the wrong place about half the time, so a pause counts as much as a
full stop, and a stretch that goes on too long is cut before a word that usually opens a clause.
"""

from collections.abc import Iterator

from memo2list.reading.words import ends_clause, ends_sentence, plain
from memo2list.records import Passage, Transcript, Turn, WordRange

PAUSE_MS = 600  # a silence this long ends a statement
LONGEST = 45  # words; longer stretches are cut where a clause opens
SHORTEST_PIECE = 10  # words; never cut a long stretch into less
ABBREVIATIONS = frozenset({"mr", "mrs", "ms", "dr", "st", "no", "approx", "vs", "etc", "e.g", "i.e"})
OPENERS = frozenset(
    {"and", "but", "so", "then", "now", "okay", "also", "because", "if", "when", "there's", "that's", "i'd", "i'll"}
)


def split(transcript: Transcript) -> tuple[Passage, ...]:
    """All passages in order; together they cover every word once."""
    ranges = [(piece, turn.speaker) for turn in transcript.turns for piece in split_turn(transcript, turn)]
    return tuple(Passage(number, words, speaker) for number, (words, speaker) in enumerate(ranges))


def split_turn(transcript: Transcript, turn: Turn) -> Iterator[WordRange]:
    start = turn.words.first
    for number in turn.words:
        if number + 1 == turn.words.stop or ends_statement(transcript, number):
            yield from shorten(transcript, WordRange(start, number + 1))
            start = number + 1


def ends_statement(transcript: Transcript, number: int) -> bool:
    """True if a statement ends with word `number` (never the last word of a turn)."""
    word, following = transcript.words[number], transcript.words[number + 1]
    if following.span.start_ms - word.span.end_ms > PAUSE_MS:
        return True
    if not ends_sentence(word.text) or (word.text.endswith(".") and plain(word.text) in ABBREVIATIONS and word.text[0].isupper()):
        return False
    return not (trails_off(word.text) and following.text[:1].islower())


def trails_off(text: str) -> bool:
    """An ellipsis: the speaker may go on with the same statement."""
    return text.endswith(("...", "…"))


def shorten(transcript: Transcript, words: WordRange) -> Iterator[WordRange]:
    while len(words) > LONGEST:
        cut = best_cut(transcript, words)
        yield WordRange(words.first, cut)
        words = WordRange(cut, words.stop)
    if len(words):
        yield words


def best_cut(transcript: Transcript, words: WordRange) -> int:
    """Where to cut a stretch that is too long: at a comma before an opener, else at an opener, else at the limit."""
    inside = range(words.first + SHORTEST_PIECE, words.first + LONGEST)
    opening = [n for n in inside if plain(transcript.words[n].text) in OPENERS]
    after_comma = [n for n in opening if ends_clause(transcript.words[n - 1].text)]
    return (after_comma or opening or [words.first + LONGEST])[-1]
