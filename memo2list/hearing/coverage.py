"""Is everything that was said also heard? Finds voiced sound that no word covers, so that it is heard again or flagged.

A recogniser may stop before the end of a stretch or skip over a sentence, with normal-looking confidence.
"""

from memo2list.hearing.media import RATE
from memo2list.hearing.recogniser import Heard, Stretch
from memo2list.records import Word
from memo2list.timing import TimeSpan

REACH_MS = 250  # a word is taken to cover this much around itself: word times are not exact
LEAST_MS = 1200  # shorter uncovered voice is a cough or a breath
NEAR_REACH_MS, LEAST_AGAIN_MS = 150, 800  # uncovered so narrowly it is heard again, and believed only if that finds words
MUCH_MS = 2500  # so much lost in one stretch is no skipped word: the recogniser gave up
MS_PER_LETTER = 110  # slow speech; a word whose end lies further off was stretched over what was not heard


def uncovered(heard: Heard, least_ms: int = LEAST_MS, reach_ms: int = REACH_MS) -> tuple[TimeSpan, ...]:
    """Voiced spans of at least `least_ms` that no word of this hearing, with `reach_ms` around it, covers."""
    covered = sorted((w.span.start_ms - reach_ms, spoken_end(w) + reach_ms) for w in heard.words)
    found: list[TimeSpan] = []
    for voice in heard.stretch.voices:
        start = voice.start_ms
        for first, last in covered:
            if first >= voice.end_ms:
                break
            if first > start:
                found.append(TimeSpan(start, first))
            start = max(start, last)
        if start < voice.end_ms:
            found.append(TimeSpan(start, voice.end_ms))
    return tuple(s for s in found if s.duration_ms >= least_ms)


def spoken_end(word: Word) -> int:
    """When the word can have ended at the latest."""
    return min(word.span.end_ms, word.span.start_ms + 250 + MS_PER_LETTER * len(word.text))


def part_of(stretch: Stretch, span: TimeSpan) -> Stretch:
    """The sound of `span` out of `stretch`, with its voices."""
    span = TimeSpan(max(span.start_ms, stretch.span.start_ms), max(span.start_ms, min(span.end_ms, stretch.span.end_ms)))
    first, last = ((ms - stretch.span.start_ms) * RATE // 1000 for ms in (span.start_ms, span.end_ms))
    voices = (TimeSpan(max(v.start_ms, span.start_ms), min(v.end_ms, span.end_ms)) for v in stretch.voices if v.overlaps(span))
    return Stretch(span, stretch.samples[first:last], tuple(voices))


def with_words(heard: Heard, span: TimeSpan, others: Heard) -> Heard:
    """`heard` with the words of another hearing put in where it had none."""
    from dataclasses import replace

    new = [w for w in others.words if span.start_ms <= (w.span.start_ms + w.span.end_ms) // 2 <= span.end_ms]
    return replace(heard, words=tuple(sorted([*heard.words, *new], key=lambda w: w.span.start_ms)))
