"""The records of the lexicon: what one entry says, and what matching it against talk gives back."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal, Protocol

EntryKind = Literal["element", "problem", "action", "material", "place"]


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing the trade has a word for. Names and forms are lower case; names are singular."""

    name: str
    kind: EntryKind
    pack: str
    forms: tuple[str, ...] = ()  # other ways to say it; plurals and verb forms are derived
    us: tuple[str, ...] = ()
    uk: tuple[str, ...] = ()
    slang: tuple[str, ...] = ()
    said: tuple[str, ...] = ()  # descriptions, in the small pattern language of lexicon/README.md
    sounds: tuple[str, ...] = ()  # known mis-hearings ("saw fit")
    near: tuple[str, ...] = ()  # words one of which must be near, for forms listed in `doubtful`
    doubtful: tuple[str, ...] = ()  # forms that are everyday words too ("light")
    sense: str = (
        ""  # materials: material, finish, colour, product; places: side, floor, room, outside, unit, spot; actions: work, verify
    )
    part_of: str = ""  # a baluster is part of a guard
    kind_of: str = ""  # a storm door is a kind of door
    room: str = ""  # the room an element nearly always stands in (a toilet in a bathroom), where no other is named
    fits: tuple[str, ...] = ()  # problems, actions: elements (or packs) they belong to; empty fits all
    element: str = ""  # problems, actions that name their element themselves ("nail pop" → wall)
    uniformat: str = ""
    trade: str = ""
    needs: tuple[str, ...] = ()  # what a price needs: length, area, count, colour, profile, size, material
    causes: tuple[str, ...] = ()  # sign → likely cause to look at (common practice)
    cautions: tuple[str, ...] = ()  # names of cautions
    safety: bool = False  # a person can get hurt, or code or law usually regulates it
    source: str = ""  # "file:line"


@dataclass(frozen=True, slots=True)
class CautionRule:
    """A published caution and what triggers it: any element AND any problem-or-action named (empty = any)."""

    name: str
    text: str
    source: str
    verified: bool  # False: the figure is from memory
    elements: tuple[str, ...] = ()
    problems: tuple[str, ...] = ()
    actions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CuePhrase:
    """Words that change how something is to be taken, in the manner of the ConText algorithm (Harkema et al. 2009)."""

    category: (
        str  # negation, hedge, condition, general, elsewhere, done, by-others, declined, taken-back, question, yes, no, wish, ...
    )
    phrase: str
    direction: Literal["forward", "backward", "both", "whole"] = "forward"  # which side of the phrase it reaches
    reach: int = 8  # words
    false: bool = False  # looks like the cue but is none ("no problem", "not only")


@dataclass(frozen=True, slots=True)
class Match:
    """A stretch of words that one entry accounts for."""

    start: int  # number of the first word, in the words handed in
    stop: int
    entry: Entry
    how: Literal["exact", "variant", "description", "fuzzy", "sound-alike"]
    form: str  # the form of the entry that matched
    score: float = 1.0
    inner: tuple[tuple[int, int], ...] = field(default=())  # for split matches: the pieces really matched


class Matcher(Protocol):
    """What reading asks of the vocabulary; `vocabulary.lexicon.Lexicon` is the real one."""

    def find(self, words: Sequence[str], probabilities: Sequence[float] | None = None) -> list[Match]:
        """All matches in the words of a passage, overlapping ones included, in order of start then longest.

        Sound-alike and fuzzy matches are offered only where no exact form covers the words; `probabilities`
        (the recogniser's, one a word) make doubtful words easier to reinterpret.
        """
        ...

    def entry(self, kind: EntryKind, name: str) -> Entry | None: ...

    def cues(self, words: Sequence[str]) -> list[tuple[int, int, CuePhrase]]: ...
