"""Steering: what the speaker says to the list, kept out of what is read, and what it tells a reader.

Both readers see the talk with the words of spoken cues blanked, so that those never become items, nor do notes and
questions for the office. A cue ends the passage before it; "next item" keeps what is said on either side of it apart, as do
taking back and the end of the walk; a change of place puts the place that it names into force, known to the lexicon or not.
What a cue does to the list is in `listing/told.py`.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from memo2list.reading.places import ANNOUNCED, LEVELS, Named, named_places
from memo2list.reading.scene import Stage
from memo2list.reading.unlisted import is_noun
from memo2list.reading.words import ends_clause, ends_sentence, plain
from memo2list.records import Finding, Flag, Reading, Transcript, Word, WordRange
from memo2list.vocabulary.spoken import SpokenCue, cues_in

BLANKED = frozenset({"note", "office"})  # meanings whose subject is no item either
DIVIDING = frozenset({"next", "strike", "end"})  # what follows is about something else
LEADING = frozenset("the a an this that our my your back in into to at on here now".split()) - {"back"}
STOPS = frozenset(
    "and but there there's here's where which that's it it's is are was has have had needs need so we i you they the this "
    "that these those with because then now again okay".split()
)
LONGEST_NAME = 4


@dataclass(frozen=True, slots=True)
class Steering:
    """The talk as a reader hears it, and what the cues tell the reader."""

    heard: Transcript  # the same words by number, those said to the list blanked
    nexts: tuple[int, ...] = ()  # numbers of the words that "next item" or the like stands before
    places: tuple[WordRange, ...] = ()  # names of places that a change of place announced

    def before(self, number: int) -> int:
        """How often "next item" was said before a word."""
        return sum(n <= number for n in self.nexts)


def steer(transcript: Transcript) -> Steering:
    cues = cues_in(transcript)
    if not cues:
        return Steering(transcript)
    heard = replace(transcript, words=blanked(transcript.words, cues))
    places = [named_in(heard, cue.about) for cue in cues if cue.meaning == "place"]
    return Steering(heard, tuple(c.words.stop for c in cues if c.meaning in DIVIDING), tuple(p for p in places if p))


def blanked(words: Sequence[Word], cues: Iterable[SpokenCue]) -> tuple[Word, ...]:
    """The words with those of the cues emptied; the statement before a cue ends there, whatever the punctuation says."""
    out = list(words)
    for cue in cues:
        blank = cue.words.join(cue.about) if cue.meaning in BLANKED and cue.about else cue.words
        for number in blank:
            out[number] = replace(words[number], text="." if number + 1 == blank.stop else "")
        before = blank.first - 1
        if before >= 0 and not ends_sentence(out[before].text) and out[before].text:
            out[before] = replace(out[before], text=out[before].text.rstrip(",;:–—-") + ".")
    return tuple(out)


def named_in(transcript: Transcript, about: WordRange) -> WordRange | None:
    """The words that name a place at the start of what a change of place is about; None where they are no name."""
    said = [plain(transcript.words[n].text) for n in about]
    first = next((n for n, w in enumerate(said) if w and w not in LEADING), len(said))
    stop = first
    while stop < min(len(said), first + LONGEST_NAME) and said[stop] not in STOPS:
        stop += 1
        if ends_clause(transcript.words[about.first + stop - 1].text):
            break
    name = said[first:stop]
    return WordRange(about.first + first, about.first + stop) if name and all(map(is_name_word, name)) else None


def is_name_word(word: str) -> bool:
    return is_noun(word) or word.isdigit()


def told_places(stages: Sequence[Stage], places: Sequence[WordRange]) -> Mapping[int, tuple[Named, ...]]:
    """For each passage in which a change of place was announced, the places named in it."""
    told: dict[int, tuple[Named, ...]] = {}
    for words in places:
        stage = next(s for s in stages if words.first in s.words)
        found = told.get(stage.number) or tuple(named_places(stage))
        inside = [n for n in found if n.words.overlaps(words)]
        others = [n for n in found if not n.words.overlaps(words)]
        told[stage.number] = tuple(sorted([entered(stage, words, inside), *others], key=lambda n: n.words.first))
    return told


def entered(stage: Stage, words: WordRange, known: Sequence[Named]) -> Named:
    """The place, in force: at the level the lexicon gives it, else inside the room if it is a thing, else as a new room."""
    said = " ".join(stage.said[n - stage.words.first] for n in words)
    if known:
        top = max(known, key=lambda n: n.level)
        level = top.level if top.level < LEVELS["spot"] else ANNOUNCED
        return Named(words, said, level, True, any(n.indoors for n in known))
    thing = any(k.words.overlaps(words) for k in stage.elements)
    return Named(words, said, ANNOUNCED if thing else LEVELS["room"], True, not thing)


def steered(reading: Reading, transcript: Transcript, steering: Steering) -> Reading:
    """The reading over the words as they were said, its findings told apart by "next item"."""
    if steering.heard is transcript:
        return reading
    findings = tuple(told_apart(f, steering) for f in reading.findings)
    return replace(reading, transcript=transcript, findings=findings)


def told_apart(finding: Finding, steering: Steering) -> Finding:
    """The finding with how often "next item" was said before; a flag where its words lie on both sides of one."""
    nexts = steering.before(finding.words.first)
    claims = [m.words for m in (*finding.problems, *finding.actions)]
    sides = {steering.before(w.first) for w in (*claims, *((finding.element.words,) if finding.element else ()))}
    split = (Flag("next-between", '"next item" was said between its words'),) if len(sides) > 1 else ()
    return replace(finding, nexts=nexts, flags=(*finding.flags, *split))
