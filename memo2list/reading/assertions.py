"""The status of mentions, in the manner of the ConText algorithm (Harkema et al. 2009): cues, their reach, and stops.

Cues and their reach are data (lexicon/common/cues.toml). A cue reaches a mention if the mention lies in its
direction, near enough, and nothing that ends a statement stands between them.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from memo2list.reading.words import ends_sentence, plain
from memo2list.records import STATUS_OF, Assertion, Cue, Transcript, WordRange
from memo2list.vocabulary.entries import CuePhrase, Matcher

STOPS = frozenset({"but", "though", "although", "except", "however", "yet", "because", "cause", "so"})
TURNS = STOPS - {"but", "though", "although"}  # "it leans, but my neighbor's man does that": these lead to an afterthought
AFTERTHOUGHTS = frozenset({"taken-back", "declined", "by-others"})


@dataclass(frozen=True, slots=True)
class PlacedCue:
    """A cue phrase found in a passage."""

    cue: Cue
    phrase: CuePhrase

    @property
    def category(self) -> str:
        return self.phrase.category

    @property
    def words(self) -> WordRange:
        return self.cue.words


def find_cues(transcript: Transcript, words: WordRange, lexicon: Matcher) -> tuple[PlacedCue, ...]:
    texts = [w.text for w in transcript.words[words.first : words.stop]]
    found = []
    for start, stop, phrase in lexicon.cues(texts):
        said = " ".join(plain(t) for t in texts[start:stop])
        found.append(PlacedCue(Cue(phrase.category, said, WordRange(words.first + start, words.first + stop)), phrase))
    return tuple(c for c in found if not c.phrase.false)


def reaches(transcript: Transcript, placed: PlacedCue, target: WordRange) -> bool:
    """True if the cue changes how `target` is to be taken."""
    words, phrase = placed.words, placed.phrase
    if phrase.direction == "whole" or words.overlaps(target):
        return True
    before = target.first >= words.stop
    if phrase.direction == ("backward" if before else "forward"):
        return False
    between = WordRange(words.stop, target.first) if before else WordRange(target.stop, max(target.stop, words.first))
    stops = TURNS if phrase.category in AFTERTHOUGHTS and not before else STOPS
    return len(between) <= phrase.reach and not stopped(transcript, between, stops)


def stopped(transcript: Transcript, between: WordRange, stops: frozenset[str]) -> bool:
    said = [transcript.words[n].text for n in between]
    return any(plain(t) in stops for t in said) or any(ends_sentence(t) for t in said)


def cues_on(transcript: Transcript, cues: Iterable[PlacedCue], target: WordRange) -> tuple[PlacedCue, ...]:
    return tuple(c for c in cues if reaches(transcript, c, target))


def decide(cues: Sequence[PlacedCue]) -> Assertion:
    """The status the cues give a mention; "stated" where there are none.

    >>> decide(())
    Assertion(status='stated', because=())
    """
    for category, status in STATUS_OF:
        because = tuple(c.cue for c in cues if c.category == category)
        if because:
            return Assertion(status, because)
    return Assertion("stated")
