"""Steering: what the speaker says to the list, kept out of what is read, and what it tells a reader.

Both readers see the talk with the words of spoken cues blanked, so that those never become items, nor do notes and
questions for the office. A cue ends the passage before it; "next item" keeps what is said on either side of it apart, as do
taking back and the end of the walk; a change of place puts the place that it names into force, known to the lexicon or not.
What a cue does to the list is in `listing/told.py`.
"""

import bisect
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from memo2list.reading.mentions import Known
from memo2list.reading.places import ANNOUNCED, LEVELS, Named, named_places
from memo2list.reading.scene import Stage
from memo2list.reading.unlisted import is_noun
from memo2list.reading.words import ends_clause, ends_sentence, plain
from memo2list.records import Finding, Flag, Reading, Transcript, Word, WordRange
from memo2list.vocabulary.spoken import SpokenCue, cues_in

BLANKED = frozenset({"note", "office"})  # meanings whose subject is no item either
LEADING = frozenset("the a an this that our my your back in into to at on here now".split()) - {"back"}
STOPS = frozenset(
    "and but there there's here's where which that's it it's is are was has have had needs need so we i you they the this "
    "that these those with because then now again okay".split()
)
ARTICLES = frozenset("the a an this that our my your".split())
NO_PLACE = frozenset("point stage trouble end moment minute time price subject business shape house job".split())
SIDES = frozenset(
    "back front side rear left right upper lower top bottom north south east west main other first second third fourth".split()
)
LONGEST_NAME = 4


@dataclass(frozen=True, slots=True)
class ToldPlace:
    """Words that name a place; `sure` where they can be one even if the lexicon does not know them ("in the scullery")."""

    words: WordRange
    sure: bool


@dataclass(frozen=True, slots=True)
class Steering:
    """The talk as a reader hears it, and what the cues tell the reader."""

    heard: Transcript  # the same words by number, those said to the list blanked
    nexts: tuple[int, ...] = ()  # numbers of the words that "next item" or the like stands before
    places: tuple[ToldPlace, ...] = ()  # that a change of place announced

    def before(self, number: int) -> int:
        """How often "next item" was said before a word."""
        return bisect.bisect_right(self.nexts, number)


def steer(transcript: Transcript) -> Steering:
    cues = cues_in(transcript)
    if not cues:
        return Steering(transcript)
    told = {cue: named_in(transcript, cue) for cue in cues if cue.meaning == "place"}
    places = told.values()
    blank = [cue for cue in cues if cue not in told or ((place := told[cue]) and place.sure)]
    heard = replace(transcript, words=blanked(transcript.words, blank))
    return Steering(heard, tuple(c.words.stop for c in cues if c.divides), tuple(p for p in places if p))


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


def named_in(transcript: Transcript, cue: SpokenCue) -> ToldPlace | None:
    """The words that name a place at the start of what a change of place is about; None where they are no name."""
    said = [plain(transcript.words[n].text) for n in cue.about]
    first = next((n for n, w in enumerate(said) if w and w not in LEADING), len(said))
    stop = first
    while stop < min(len(said), first + LONGEST_NAME) and said[stop] not in STOPS:
        stop += 1
        if ends_clause(transcript.words[cue.about.first + stop - 1].text):
            break
    name = said[first:stop]
    if not name or not any(map(is_noun, name)) or name[0] in NO_PLACE or (len(name) == 1 and name[0] in SIDES):
        return None
    announced = {plain(transcript.words[n].text) for n in cue.words} & {"room", "place"}
    words = WordRange(cue.about.first + first, cue.about.first + stop)
    return ToldPlace(words, bool(announced or ARTICLES & set(said[:first])))


def told_places(stages: Sequence[Stage], places: Sequence[ToldPlace]) -> Mapping[int, tuple[Named, ...]]:
    """For each passage in which a change of place was announced, the places named in it."""
    told: dict[int, tuple[Named, ...]] = {}
    for place in places:
        words = place.words
        stage = stages[bisect.bisect_right(stages, words.first, key=lambda s: s.words.first) - 1]
        known = places_in(stage, words)
        if not (known or place.sure):
            continue
        words = WordRange(words.first, known[-1].words.stop) if known else words
        found = told.get(stage.number) or tuple(named_places(stage))
        others = [n for n in found if not n.words.overlaps(words)]
        told[stage.number] = tuple(sorted([entered(stage, words, known), *others], key=lambda n: n.words.first))
    return told


def places_in(stage: Stage, words: WordRange) -> list[Known]:
    """Places of the lexicon inside a name, those that follow one another: "back" + "bedroom"."""
    run: list[Known] = []
    for known in stage.of_kind("place"):
        if known.words.first in words and (not run or known.words.first == run[-1].words.stop):
            run.append(known)
    return run


def entered(stage: Stage, words: WordRange, known: Sequence[Known]) -> Named:
    """The place, in force: at the level the lexicon gives it, else inside the room if it is a thing, else as a new room."""
    said = " ".join(stage.said[n - stage.words.first] for n in words)
    if known:
        level = max(LEVELS.get(k.entry.sense, LEVELS["spot"]) for k in known)
        room = any(k.entry.sense == "room" for k in known)
        return Named(words, said, level if level < LEVELS["spot"] else ANNOUNCED, True, room)
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
