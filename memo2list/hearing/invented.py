"""Takes out what was never said: sentences made up in noise, and loops in which the recogniser repeats itself."""

import re
from collections.abc import Sequence
from dataclasses import replace

from memo2list.hearing.recogniser import Heard
from memo2list.hearing.second_hearing import Changed
from memo2list.records import Flag, StretchFlag, Word, WordRange

LONGEST_PHRASE = 12  # words in a phrase that may loop
TIMES = 4  # people do say "no, no, no"; a phrase four times in a row with eight words or more is a loop
LEAST_WORDS = 8
MS_PER_WORD = 60  # nobody speaks a word faster than this
POOR = -0.8  # mean log probability of a short stretch that is rather noise than speech
SHORT_MS = 2500
# what Whisper writes into noise (from memory of common reports, and seen in our own tests of noise)
STOCK = frozenset(
    ("you", "thank you", "thanks", "thank you very much", "thanks for watching", "bye", "so", "oh", "the", "music", "i'm sorry")
)


def without_invented(heard: Heard) -> Changed:
    """The hearing without loops and stock sentences in noise; what was taken out is flagged."""
    if not heard.words:
        return Changed(heard, ())
    if is_noise(heard):
        said = " ".join(w.text for w in heard.words)
        return Changed(replace(heard, words=()), (_flagged(0, "invented", f'noise was heard as "{said}"; it is left out', said),))
    kept: list[Word] = []
    doubts: list[StretchFlag] = []
    at = 0
    for start, stop, length in loops(heard.words):
        kept += heard.words[at : start + length]
        phrase = " ".join(w.text for w in heard.words[start : start + length])
        times = (stop - start) // length
        doubts.append(_flagged(len(kept), "repeated", f'"{phrase}" was heard {times} times in a row; it is kept once', phrase))
        at = stop
    return Changed(replace(heard, words=(*kept, *heard.words[at:])), tuple(doubts))


def is_noise(heard: Heard) -> bool:
    """A short or very unlikely hearing that says nothing but what the recogniser invents in noise."""
    text = " ".join(_bare(w) for w in heard.words)
    short = heard.stretch.voiced_ms <= SHORT_MS
    sure = sum(w.probability for w in heard.words) / len(heard.words)
    return (text in STOCK and (short or sure < 0.6)) or (short and heard.log_probability < POOR and sure < 0.4)


def loops(words: Sequence[Word]) -> list[tuple[int, int, int]]:
    """Runs of a repeated phrase as (first word, word after the run, words in the phrase), left to right."""
    bare = [_bare(w) for w in words]
    found, at = [], 0
    while at < len(bare):
        run = next((r for length in range(1, LONGEST_PHRASE + 1) if (r := _run(bare, words, at, length))), None)
        if run:
            found.append(run)
            at = run[1]
        else:
            at += 1
    return found


def _run(bare: Sequence[str], words: Sequence[Word], at: int, length: int) -> tuple[int, int, int] | None:
    stop = at + length
    while stop + length <= len(bare) and bare[stop : stop + length] == bare[at : at + length]:
        stop += length
    times = (stop - at) // length
    if times < TIMES:
        return None
    hurried = words[stop - 1].span.end_ms - words[at].span.start_ms < MS_PER_WORD * (stop - at)
    return (at, stop, length) if hurried or stop - at >= LEAST_WORDS else None


def _bare(word: Word) -> str:
    return re.sub(r"[^\w']", "", word.text.lower())


def _flagged(at: int, code: str, reason: str, other: str) -> StretchFlag:
    return StretchFlag(WordRange(at, at), Flag(code, reason), other)
