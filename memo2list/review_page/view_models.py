"""What the page shows, as plain records: one line an item, sections of the walk, what was set aside, and the counts."""

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from memo2list.exports import phrasing
from memo2list.records import (
    AFTER_THE_END,
    DOUBTFUL,
    NOTE_TO_SELF,
    TAKEN_BACK,
    WISH,
    Caution,
    Item,
    PunchList,
    Quote,
    Recording,
    SetAside,
    State,
    WantedPicture,
)
from memo2list.store.office import office_key
from memo2list.timing import short_clock, to_seconds

SHOWS = ("all", "waiting", "doubtful", "questions", "safety", "open", "done", "dropped")
SHOW_LABELS = {
    "all": "The walk",
    "waiting": "To look at",
    "doubtful": "Doubtful",
    "questions": "Questions",
    "safety": "Safety",
    "open": "Open",
    "done": "Done",
    "dropped": "Dropped",
}
WHY_ASIDE = {
    "possible": "said to be possible",
    "conditional": "said on a condition",
    "negated": "said not to be so",
    "question": "only asked, never answered",
    "general": "talk in general",
    "elsewhere": "about somewhere else",
    "done": "said to be done already",
    "by others": "somebody else does it",
    "declined": "not wanted",
    TAKEN_BACK: "taken back later",
    DOUBTFUL: "understood too weakly to list",
    NOTE_TO_SELF: "said as a note to self",
    AFTER_THE_END: "said after the end of the walk",
}
QUIET = frozenset({"approximate", WISH})  # flags that do not by themselves make an item doubtful
WEAK, WAVERING = 0.6, 0.75


@dataclass(frozen=True, slots=True)
class QuoteView:
    """A quote with its words, marked or not, and how to play it."""

    recording: str
    playable: bool
    pictures: bool
    start: float  # seconds
    end: float
    clock: str
    pieces: tuple[tuple[str, bool], ...]
    frame_ms: int = 0

    @property
    def fragment(self) -> str:
        """The media fragment of the quote (W3C Media Fragments, temporal dimension)."""
        return f"t={self.start:g},{self.end:g}"


@dataclass(frozen=True, slots=True)
class WantedView:
    """A picture that was asked for while talking: when, and whether there is one, or a frame of a video."""

    recording: str
    at_ms: int
    clock: str
    said: str
    filmed: bool
    met: bool  # the line has a picture


@dataclass(frozen=True, slots=True)
class OfficeView:
    """A question for the office."""

    key: str
    text: str
    quote: QuoteView
    state: State
    done_on: str


@dataclass(frozen=True, slots=True)
class LineView:
    """One item as a line of the page."""

    item: Item
    spot: str  # where within the section of the walk
    clock: str
    start: float
    recording: str
    quotes: tuple[QuoteView, ...]
    facts: tuple[str, ...]
    doubts: tuple[str, ...]
    doubt: int  # 0 sure, 1 wavering, 2 doubtful
    cautions: tuple[Caution, ...]
    done_on: str = ""
    wanted: tuple[WantedView, ...] = ()
    wish: str = ""  # whose wish it is, as said

    @property
    def key(self) -> str:
        return self.item.key

    @property
    def said_last(self) -> str:
        """What an assistive reader hears about its state."""
        looked = {"unreviewed": "to look at", "kept": "kept", "dropped": "dropped"}[self.item.review]
        return looked + (", doubtful" if self.doubt else "") + (", done" if self.item.state == "done" else "")


@dataclass(frozen=True, slots=True)
class Section:
    """The lines of one place, in walking order."""

    name: str
    place: str  # as the items hold it, "" if none was said
    lines: tuple[LineView, ...]


@dataclass(frozen=True, slots=True)
class AsideView:
    """Talk that was set aside."""

    number: int
    what: str
    why: str
    because: str
    quotes: tuple[QuoteView, ...]


@dataclass(frozen=True, slots=True)
class Counts:
    """How many items each way of showing the list holds."""

    of: Mapping[str, int] = field(default_factory=dict)

    @property
    def looked_at(self) -> int:
        return self.of["everything"] - self.of["waiting"]


def doubt_of(item: Item) -> int:
    """How doubtful: 2 where a flag asks for a second look or the reading was weak, 1 where it wavers."""
    if item.review == "kept":
        return 0
    telling = [f for f in item.flags if f.code not in QUIET]
    if telling or item.confidence < WEAK:
        return 2
    return 1 if item.flags or item.confidence < WAVERING or item.certainty != "stated" else 0


def is_shown(item: Item, show: str) -> bool:
    """Whether the item belongs to this way of showing the list."""
    if show == "dropped":
        return item.review == "dropped"
    if item.review == "dropped":
        return show == "all"
    return {
        "waiting": item.review == "unreviewed",
        "doubtful": doubt_of(item) > 1,
        "questions": bool(item.questions),
        "safety": item.safety,
        "open": item.state == "open",
        "done": item.state == "done",
    }.get(show, True)


def counts(items: Sequence[Item]) -> Counts:
    of = {show: sum(is_shown(i, show) for i in items) for show in SHOWS}
    return Counts({**of, "everything": len(items), "all": sum(i.review != "dropped" for i in items)})


def sections(lines: Iterable[LineView]) -> tuple[Section, ...]:
    """Lines gathered under the last place named for them, places in the order they are first met; no place comes last.

    "third tread, front steps" stands under "front steps".
    """
    groups: dict[str, list[LineView]] = {}
    for line in lines:
        groups.setdefault(phrasing.section_of(line.item.location), []).append(line)
    ordered = sorted(groups.items(), key=lambda group: not group[0])
    return tuple(Section(phrasing.sentence_case(name) or phrasing.NOWHERE, name, tuple(held)) for name, held in ordered)


def line_view(item: Item, recordings: Mapping[str, Recording], done_on: str = "", pictured: bool = False) -> LineView:
    quotes = tuple(quote_view(q, recordings.get(q.recording)) for q in item.quotes)
    first = min(item.quotes, key=lambda q: q.span, default=None)
    return LineView(
        item,
        phrasing.spot_of(item.location),
        short_clock(first.span.start_ms) if first else "",
        to_seconds(first.span.start_ms) if first else 0.0,
        first.recording if first else "",
        quotes,
        tuple(facts(item)),
        tuple(phrasing.sentence_case(flag.reason) for flag in item.flags if flag.code != WISH),
        doubt_of(item),
        item.cautions,
        done_on,
        tuple(wanted_view(w, recordings.get(w.recording), pictured) for w in item.wanted_pictures),
        phrasing.sentence_case(next((flag.reason for flag in item.flags if flag.code == WISH), "")),
    )


def wanted_view(wanted: WantedPicture, recording: Recording | None, met: bool) -> WantedView:
    filmed = recording is not None and recording.kind == "video"
    return WantedView(wanted.recording, wanted.at_ms, short_clock(wanted.at_ms), wanted.said, filmed, met)


def for_the_office(found: PunchList, done: Mapping[str, str]) -> tuple[OfficeView, ...]:
    """Questions that belong to no line, each with the words they were asked in; `done` has the day of each that is, by key."""
    recordings = {r.sha256: r for r in found.recordings}
    return tuple(
        OfficeView(key, q.text, quote_view(q.quotes[0], recordings.get(q.quotes[0].recording)), q.state, done.get(key, ""))
        for q in found.questions
        for key in (office_key(q),)
    )


def notes_to_self(found: PunchList) -> tuple[QuoteView, ...]:
    recordings = {r.sha256: r for r in found.recordings}
    return tuple(
        quote_view(s.quotes[0], recordings.get(s.quotes[0].recording))
        for s in found.set_aside
        if s.why == NOTE_TO_SELF and s.quotes
    )


def facts(item: Item) -> Iterable[str]:
    """What else the line says: measures, materials, how sure, whose word."""
    yield from (phrasing.quantity(q) for q in item.quantities)
    yield from item.materials
    if item.certainty != "stated":
        yield {"possible": "possible only", "conditional": "on a condition"}[item.certainty]
    if item.kind == "verify":
        yield "to verify"
    if item.by:
        yield f"said by {item.by}"


def quote_view(quote: Quote, recording: Recording | None) -> QuoteView:
    kind = recording.kind if recording else "transcript"
    return QuoteView(
        quote.recording,
        kind != "transcript",
        kind == "video",
        to_seconds(quote.span.start_ms),
        to_seconds(max(quote.span.end_ms, quote.span.start_ms + 300)),
        short_clock(quote.span.start_ms),
        pieces(quote),
        (quote.span.start_ms + quote.span.end_ms) // 2,
    )


def pieces(quote: Quote) -> tuple[tuple[str, bool], ...]:
    """The text in stretches, each with whether its words matched."""
    words = quote.text.split(" ")
    if len(words) != len(quote.words):
        return ((quote.text, False),)
    out: list[tuple[list[str], bool]] = []
    for number, word in zip(quote.words, words, strict=True):
        marked = any(number in m for m in quote.marked)
        if not out or out[-1][1] != marked:
            out.append(([], marked))
        out[-1][0].append(word)
    return tuple((" ".join(held), marked) for held, marked in out)


def aside_view(number: int, aside: SetAside, recordings: Mapping[str, Recording]) -> AsideView:
    said = ", ".join((*aside.issues[:2], *aside.actions[:2]))
    said_to_list = {NOTE_TO_SELF: "A note to self", TAKEN_BACK: "A question for the office"}
    what = phrasing.sentence_case(aside.element) or said_to_list.get(aside.why, "Something without a name")
    return AsideView(
        number,
        f"{what}: {said}" if said else what,
        WHY_ASIDE.get(aside.why, aside.why),
        aside.because,
        tuple(quote_view(q, recordings.get(q.recording)) for q in aside.quotes),
    )


def day_of(stamp: str) -> str:
    """The day of an ISO time in UTC, as the machine's own calendar has it, "" if there is none."""
    return datetime.datetime.fromisoformat(stamp).astimezone().date().isoformat() if stamp else ""
