"""The records that travel from sound to list. All are frozen; stages take records and return new ones.

Every record made from speech carries the `WordRange` it came from, so that quotes, times and
highlights are looked up in the transcript and never searched for again.
"""

import bisect
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from memo2list.timing import TimeSpan

MentionKind = Literal["element", "problem", "action", "material", "place"]
How = Literal["exact", "variant", "description", "fuzzy", "sound-alike", "unlisted", "implied"]
# unlisted: told by its setting alone; implied: by a likeness ("same again") or by a question that was answered no
Status = Literal[
    "stated",
    "possible",
    "conditional",
    "negated",
    "question",
    "general",
    "elsewhere",
    "done",
    "by others",
    "declined",
    "taken back",
    "doubtful",
]  # doubtful: understood too weakly to list
Certainty = Literal["stated", "possible", "conditional"]
ItemKind = Literal["problem", "work", "verify"]
QuantityKind = Literal["count", "length", "area", "volume", "size", "clearance"]
Review = Literal["unreviewed", "kept", "dropped"]
State = Literal["open", "done"]

LISTED: frozenset[str] = frozenset({"stated", "possible", "conditional"})
# cue category and the status it gives, strongest first; a hedge yields to everything
STATUS_OF: tuple[tuple[str, Status], ...] = (
    ("taken-back", "taken back"),
    ("declined", "declined"),
    ("by-others", "by others"),
    ("elsewhere", "elsewhere"),
    ("general", "general"),
    ("done", "done"),
    ("negation", "negated"),
    ("condition", "conditional"),
    ("hedge", "possible"),
)
TAKEN_BACK: Status = "taken back"
DOUBTFUL: Status = "doubtful"
NOTE_TO_SELF, AFTER_THE_END = "note to self", "after the end"  # why something is set aside that are no status


@dataclass(frozen=True, slots=True, order=True)
class WordRange:
    """Words `first` up to but not including `stop`, as numbers in one transcript.

    >>> WordRange(3, 5).join(WordRange(8, 9))
    WordRange(first=3, stop=9)
    """

    first: int
    stop: int

    def __post_init__(self) -> None:
        if self.first < 0 or self.stop < self.first:
            raise ValueError(f"a word range runs forward from zero, not {self.first}..{self.stop}")

    def __len__(self) -> int:
        return self.stop - self.first

    def __iter__(self) -> Iterator[int]:
        return iter(range(self.first, self.stop))

    def __contains__(self, number: int) -> bool:
        return self.first <= number < self.stop

    def overlaps(self, other: "WordRange") -> bool:
        return self.first < other.stop and other.first < self.stop

    def join(self, other: "WordRange") -> "WordRange":
        return WordRange(min(self.first, other.first), max(self.stop, other.stop))


@dataclass(frozen=True, slots=True)
class Flag:
    """One reason to look twice: a code for programs, a sentence for the reviewer."""

    code: str  # lower case with hyphens: "sounds-like", "place-unclear"
    reason: str


WISH = "customers-wish"  # the one flag that is no doubt: the walk says whose wish it is


@dataclass(frozen=True, slots=True)
class Recording:
    """A sound or video file, or a transcript somebody already has; identified by its SHA-256."""

    name: str  # file name as given, without folders
    sha256: str
    duration_ms: int
    recogniser: str  # "whisper base int8", or "" for a transcript that was given
    kind: Literal["sound", "video", "transcript"] = "sound"


@dataclass(frozen=True, slots=True)
class Word:
    """One spoken word as heard, with its punctuation ("soffit,")."""

    text: str
    span: TimeSpan
    probability: float = 1.0  # the recogniser's own, 0..1; 1 for given transcripts; not a calibrated confidence


@dataclass(frozen=True, slots=True)
class Turn:
    """Words of one speaker in a row; `speaker` is None where it is not known."""

    words: WordRange
    speaker: str | None = None


@dataclass(frozen=True, slots=True)
class StretchFlag:
    """A doubt about hearing that belongs to a stretch of words (or to no words: an empty range)."""

    words: WordRange
    flag: Flag
    other: str = ""  # the other hearing, where there were two


@dataclass(frozen=True, slots=True)
class Transcript:
    """All words of one recording in order, in turns that cover every word exactly once."""

    recording: Recording
    words: tuple[Word, ...]
    turns: tuple[Turn, ...]
    doubts: tuple[StretchFlag, ...] = ()

    def __post_init__(self) -> None:
        expected = 0
        for turn in self.turns:
            if turn.words.first != expected:
                raise ValueError(f"turns must cover every word once; one starts at word {turn.words.first} instead of {expected}")
            expected = turn.words.stop
        if expected != len(self.words):
            raise ValueError(f"turns cover {expected} of {len(self.words)} words")

    def quote(self, words: WordRange) -> str:
        """The words said, as one line of text."""
        return " ".join(w.text for w in self.words[words.first : words.stop])

    def time(self, words: WordRange) -> TimeSpan:
        """When they were said; an empty range takes the time of the word before it."""
        if not self.words:
            return TimeSpan(0, 0)
        first = self.words[min(words.first, len(self.words) - 1)]
        last = self.words[max(words.first, words.stop - 1) if len(words) else min(words.first, len(self.words) - 1)]
        return TimeSpan(first.span.start_ms, max(first.span.end_ms, last.span.end_ms))

    def turn_at(self, number: int) -> Turn:
        """The turn that holds word `number`."""
        return self.turns[bisect.bisect_right(self.turns, number, key=lambda t: t.words.first) - 1]

    def speaker_at(self, number: int) -> str | None:
        return self.turn_at(number).speaker


@dataclass(frozen=True, slots=True)
class Passage:
    """A stretch that makes one statement: sentence- or pause-sized."""

    number: int
    words: WordRange
    speaker: str | None = None


@dataclass(frozen=True, slots=True)
class Mention:
    """Words matched to one lexicon entry, and how."""

    kind: MentionKind
    entry: str  # the entry's name
    words: WordRange
    how: How = "exact"
    score: float = 1.0  # likeness 0..1 for fuzzy and sound-alike matches
    said: str = ""  # the words as heard, without punctuation


@dataclass(frozen=True, slots=True)
class Cue:
    """Words that change how something is to be taken."""

    category: str  # "negation", "hedge", "condition", ... (lexicon/common/cues.toml)
    phrase: str
    words: WordRange


@dataclass(frozen=True, slots=True)
class Assertion:
    """The status of a mention or finding, and the cues that are the reason."""

    status: Status
    because: tuple[Cue, ...] = ()

    @property
    def listed(self) -> bool:
        return self.status in LISTED


@dataclass(frozen=True, slots=True)
class Quantity:
    """A measure or count as said. `value` is a number or (low, high)."""

    value: float | tuple[float, float]
    unit: str  # "ft", "in", "sq ft", "yd", "m", "mm", "ea", "gal", ...
    kind: QuantityKind
    said: str
    words: WordRange
    approximate: bool = False


@dataclass(frozen=True, slots=True)
class Place:
    """Where on the property; "" is nowhere said."""

    name: str
    words: WordRange
    carried: bool = False  # in force from earlier talk rather than said here


@dataclass(frozen=True, slots=True)
class Part:
    """One named part of a confidence: how sure the reader is of that step, 0..1."""

    name: Literal[
        "hearing", "match", "assertion", "place", "pronoun", "agreement", "kind", "judgement", "claim", "choice", "deep", "least"
    ]  # fmt: skip
    value: float
    because: str = ""


@dataclass(frozen=True, slots=True)
class Finding:
    """What one passage (or a question and its answer) says about one element."""

    passage: int
    words: WordRange  # all evidence in this stretch
    element: Mention | None
    problems: tuple[Mention, ...]
    actions: tuple[Mention, ...]
    assertion: Assertion
    place: Place | None = None
    quantities: tuple[Quantity, ...] = ()
    materials: tuple[Mention, ...] = ()
    speaker: str | None = None
    evidence: tuple[WordRange, ...] = ()  # further stretches: the question, the turn that named "it"
    flags: tuple[Flag, ...] = ()
    parts: tuple[Part, ...] = ()
    safety: bool = False
    to_verify: bool = False  # the reader says that this must be looked at before work can be scoped
    reader: Literal["quick", "deep"] = "quick"
    steps: tuple[str, ...] = ()  # what each step decided, for `explain`
    nexts: int = 0  # how often "next item" was said before it


@dataclass(frozen=True, slots=True)
class Measured:
    """A measure as said, with what the words around it tell; whose it is, listing decides."""

    quantity: Quantity
    passage: int
    how: str  # "said", "counted", or how a number without a unit is taken: "inherited", "guessed", …
    side: bool  # one of the two sides of a size: "four by six"
    facts: tuple[str, ...]
    same: int = 0  # how often the same measure is said near
    before: int = 0  # others of its unit said soon before
    after: int = 0  # and soon after


@dataclass(frozen=True, slots=True)
class PlaceSaid:
    """A place as named, with what the words around it tell; what is there, listing decides."""

    words: WordRange
    said: str
    passage: int
    level: int  # 0 unit, 1 floor, 2 side, 3 room or outside, 4 announced, 5 spot, 6 an element that may be meant as a place
    enters: bool  # the talk goes on there
    indoors: bool
    owned: bool  # part of an element's name
    facts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Reading:
    """Everything a reader understood of one transcript."""

    transcript: Transcript
    passages: tuple[Passage, ...]
    mentions: tuple[Mention, ...]
    cues: tuple[Cue, ...]
    findings: tuple[Finding, ...]
    flags: tuple[Flag, ...] = ()  # about the whole recording
    measures: tuple[Measured, ...] = ()  # all that are said or may be meant, in order
    places: tuple[PlaceSaid, ...] = ()  # all that are named or may be meant, in order


@dataclass(frozen=True, slots=True)
class Quote:
    """The words said, with start and end in the recording, and where they lie in its transcript."""

    recording: str  # the recording's SHA-256
    words: WordRange
    span: TimeSpan
    text: str
    marked: tuple[WordRange, ...] = ()  # the words inside that matched


@dataclass(frozen=True, slots=True)
class Caution:
    """A usual caution with its published source; local code and licensed trades decide."""

    text: str
    source: str


@dataclass(frozen=True, slots=True)
class WantedPicture:
    """ "Take a picture here": a time at which one was asked for."""

    recording: str  # the recording's SHA-256
    at_ms: int
    said: str


@dataclass(frozen=True, slots=True)
class Item:
    """One line of the list, merged from findings."""

    number: int
    key: str  # stays the same when the job is heard or read again (listing/keys.py)
    kind: ItemKind
    title: str  # "Fascia: rot — replace"
    element: str
    heard: tuple[str, ...]  # the element in the words used
    issues: tuple[str, ...]
    actions: tuple[str, ...]
    location: str | None
    quantities: tuple[Quantity, ...]
    materials: tuple[str, ...]
    certainty: Certainty
    safety: bool
    by: str  # speakers joined by "+": "A", "A+B", "" if unknown
    quotes: tuple[Quote, ...]
    questions: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()
    flags: tuple[Flag, ...] = ()
    confidence: float = 0.0
    parts: tuple[Part, ...] = ()
    steps: tuple[str, ...] = ()  # the chain behind it, for `explain`
    review: Review = "unreviewed"
    state: State = "open"
    note: str = ""
    why_dropped: str = ""  # the reviewer's reason, where review is "dropped"
    wanted_pictures: tuple[WantedPicture, ...] = ()


def item_at(items: Iterable[Item], recording: str, at_ms: int) -> Item | None:
    """The item being talked about at that time of a recording, or nearest to it, one before rather than one after.

    None if no item has words in that recording.
    """
    spans = [(q.span, item) for item in items for q in item.quotes if q.recording == recording]
    near = [(max(0, at_ms - s.end_ms) + 2 * max(0, s.start_ms - at_ms), -item.number, item) for s, item in spans]
    return min(near, key=lambda n: n[:2])[2] if near else None


@dataclass(frozen=True, slots=True)
class SetAside:
    """Heard, understood and deliberately not listed, with the reason."""

    why: str  # "negated", "by others", ...
    element: str
    issues: tuple[str, ...]
    actions: tuple[str, ...]
    quotes: tuple[Quote, ...]
    because: str = ""  # the cue's words
    steps: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class OfficeQuestion:
    """A question that belongs to no item: somebody at the desk has to answer it."""

    text: str
    quotes: tuple[Quote, ...]
    state: State = "open"


@dataclass(frozen=True, slots=True)
class PunchList:
    """The list of one or more recordings in order, before any edits."""

    recordings: tuple[Recording, ...]
    items: tuple[Item, ...]
    set_aside: tuple[SetAside, ...]
    flags: tuple[Flag, ...] = ()
    questions: tuple[OfficeQuestion, ...] = ()
