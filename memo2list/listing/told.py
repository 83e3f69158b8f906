"""What the speaker said to the list itself, done to it: one step a spoken cue, in the order said, after reading and merging.

Both readers leave the cues' words alone (`reading/steering.py`); here the last item is taken back, a wish is noted, a picture
is wanted, a question goes to the office, a note is put aside, and nothing said after the end of the walk is listed.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from memo2list.listing.agreement import free_key
from memo2list.listing.keys import base_key
from memo2list.listing.wording import title
from memo2list.records import (
    AFTER_THE_END,
    DOUBTFUL,
    NOTE_TO_SELF,
    TAKEN_BACK,
    WISH,
    Flag,
    Item,
    OfficeQuestion,
    PunchList,
    Quote,
    SetAside,
    Transcript,
    WantedPicture,
    WordRange,
    item_at,
)
from memo2list.timing import short_clock
from memo2list.vocabulary.spoken import Meaning, SpokenCue, cues_in

RECENT_MS = 60_000  # "the last one" is one that was spoken of within so long before
ANNOUNCING = ("office", "question")  # the last words of a cue that announces a question; others are part of it
UNSURE = 0.5  # confidence of a wish that a reader was in doubt about


@dataclass(frozen=True, slots=True)
class Told:
    """One cue in its recording, and the cues said after and before it there."""

    transcript: Transcript
    cue: SpokenCue
    later: tuple[SpokenCue, ...] = ()
    earlier: tuple[SpokenCue, ...] = ()

    @property
    def recording(self) -> str:
        return self.transcript.recording.sha256

    @property
    def said(self) -> str:
        return self.transcript.quote(self.cue.words).strip(" .,;:!?…—–")

    @property
    def at_ms(self) -> int:
        return self.transcript.time(self.cue.words).start_ms

    @property
    def when(self) -> str:
        return f'"{self.said}" at {short_clock(self.at_ms)}'

    def quote(self, words: WordRange) -> Quote:
        return Quote(self.recording, words, self.transcript.time(words), self.transcript.quote(words))


def as_told(found: PunchList, transcripts: Sequence[Transcript]) -> PunchList:
    """The list with everything done that was said to it; a pure function of its arguments."""
    for transcript in transcripts:
        cues = cues_in(transcript)
        for number, cue in enumerate(cues):
            step = STEPS.get(cue.meaning)
            if step:
                found = step(found, Told(transcript, cue, cues[number + 1 :], cues[:number]))
    return replace(found, items=tuple(replace(item, number=n) for n, item in enumerate(found.items, 1)))


def note(found: PunchList, told: Told) -> PunchList:
    words = told.cue.words.join(told.cue.about) if told.cue.about else told.cue.words
    return replace(found, set_aside=(*found.set_aside, SetAside(NOTE_TO_SELF, "", (), (), (told.quote(words),), told.said)))


def office(found: PunchList, told: Told) -> PunchList:
    announced = told.said.lower().endswith(ANNOUNCING)
    words = told.cue.about if announced else told.cue.words.join(told.cue.about)
    text = told.transcript.quote(words).strip(" ,;:—–")
    if not text:
        return flagged(found, "question-missing", f"{told.when}: no question was heard after it")
    question = OfficeQuestion(text[:1].upper() + text[1:], (told.quote(words),))
    return replace(found, questions=(*found.questions, question))


def picture(found: PunchList, told: Told) -> PunchList:
    item = item_at(found.items, told.recording, told.at_ms)
    if item is None:
        return flagged(found, "picture-wanted", f"{told.when}: a picture was wanted, and no line is near")
    wanted = WantedPicture(told.recording, told.at_ms, told.said)
    return with_item(found, replace(item, wanted_pictures=(*item.wanted_pictures, wanted)))


def wish(found: PunchList, told: Told) -> PunchList:
    """Of the item said in the same breath, else of the last one; what a reader was in doubt about is listed, for it is wanted."""
    about = told.cue.about if told.cue.about else WordRange(0, 0)
    inside = [i for i in found.items if about and last_word(i, told, about.stop) >= about.first]
    doubted = doubted_in(found, told, about)
    item = inside[0] if inside else None
    if item is None and not doubted:
        item = last_item(found.items, told)
        item = item if item and last_word(item, told) >= since(told) else None
        doubted = [] if item else doubted_in(found, told, WordRange(since(told), told.cue.words.first))
    if item is None and doubted:
        item = wanted_after_all(found, doubted[-1], told)
        left = tuple(s for s in found.set_aside if s is not doubted[-1])
        found = replace(found, set_aside=left, items=tuple(sorted((*found.items, item), key=walked(found))))
    if item is None:
        return flagged(found, "wish-unclear", f"{told.when}: nothing was listed just before it")
    return with_item(found, replace(item, flags=(*item.flags, Flag(WISH, f"the customer's wish: {told.when}"))))


def doubted_in(found: PunchList, told: Told, words: WordRange) -> list[SetAside]:
    """What was set aside as doubtful among those words, in order."""
    listed = [s for s in found.set_aside if s.why == DOUBTFUL and s.element and starts_in(s.quotes, told.recording, words)]
    return sorted(listed, key=lambda s: s.quotes[0].words.first)


def starts_in(quotes: Sequence[Quote], recording: str, words: WordRange) -> bool:
    return any(q.recording == recording and q.words.first in words for q in quotes)


def walked(found: PunchList) -> Callable[[Item], tuple[int, int]]:
    """The order of the walk: by recording, then by the first words said."""
    order = {r.sha256: n for n, r in enumerate(found.recordings)}
    return lambda item: (order.get(item.quotes[0].recording, 0), item.quotes[0].words.first) if item.quotes else (0, 0)


def wanted_after_all(found: PunchList, aside: SetAside, told: Told) -> Item:
    """An item of talk that was set aside as doubtful, in the place of the item before it."""
    before = [i for i in found.items if last_word(i, told) >= 0]
    place = max(before, key=lambda i: last_word(i, told)).location if before else None
    place = place.rpartition(", ")[2] if place else None  # without the spot
    claim = (*aside.issues, *aside.actions, "")[0]
    taken, key = {i.key for i in found.items}, base_key(told.recording, aside.element, claim, place)
    return Item(
        number=0,
        key=key if key not in taken else free_key(key, taken),
        kind="problem" if aside.issues else "work",
        title=title(aside.element, aside.issues[:1], aside.actions[:1]),
        element=aside.element,
        heard=(aside.element,),
        issues=aside.issues,
        actions=aside.actions,
        location=place,
        quantities=(),
        materials=(),
        certainty="stated",
        safety=False,
        by="",
        quotes=aside.quotes,
        confidence=UNSURE,
        steps=aside.steps,
    )


def strike(found: PunchList, told: Told) -> PunchList:
    """Takes back what was said last: an item, or a question for the office."""
    item = last_item(found.items, told)
    asked = [
        q for q in found.questions if q.quotes[0].recording == told.recording and q.quotes[0].words.stop <= told.cue.words.first
    ]
    if asked and (item is None or asked[-1].quotes[0].words.first > last_word(item, told)):
        aside = SetAside(TAKEN_BACK, "", (), (), asked[-1].quotes, told.said)
        return replace(
            found, questions=tuple(q for q in found.questions if q is not asked[-1]), set_aside=(*found.set_aside, aside)
        )
    if item is None or last_word(item, told) < since(told):
        return flagged(found, "strike-unclear", f"{told.when}: nothing was listed just before it, so nothing was taken back")
    if unlisted_after(found, item, told):
        doubt = Flag("strike-unclear", f"{told.when} may mean this; other talk lies between, so it was not taken back")
        return with_item(found, replace(item, flags=(*item.flags, doubt)))
    return put_aside(found, [item], TAKEN_BACK, told.said)


def since(told: Told) -> int:
    """From which word on something can be "the last one": the last "next item" or the like, unless nothing was said since."""
    floors = [0, *(c.words.stop for c in told.earlier if c.divides)]
    spoken = {n for c in told.earlier for n in c.words.join(c.about)}
    said = [n for n in range(floors[-1], told.cue.words.first) if n not in spoken]
    return floors[-1] if said or len(floors) == 1 else floors[-2]


def unlisted_after(found: PunchList, item: Item, told: Told) -> bool:
    """True where something that is not listed was spoken of between the item and the cue."""
    last = max(q.words.stop for q in item.quotes if q.recording == told.recording and q.words.first < told.cue.words.first)
    return any(
        q.recording == told.recording and last <= q.words.first < told.cue.words.first
        for aside in found.set_aside
        if aside.why not in (NOTE_TO_SELF, TAKEN_BACK)
        for q in aside.quotes
    )


def end(found: PunchList, told: Told) -> PunchList:
    """Items said after it, up to the announcement of another job in the same recording."""
    start = told.cue.words.stop
    stop = next((c.words.first for c in told.later if c.meaning == "job"), len(told.transcript.words))
    after = [i for i in found.items if i.quotes and all(said_within(q, told.recording, start, stop) for q in i.quotes)]
    if not after:
        return found
    lines = "1 line" if len(after) == 1 else f"{len(after)} lines"
    found = flagged(found, "after-the-end", f"{told.when}: {lines} said after it set aside")
    return put_aside(found, after, AFTER_THE_END, told.said)


def said_within(quote: Quote, recording: str, start: int, stop: int) -> bool:
    return quote.recording == recording and start <= quote.words.first and quote.words.first < stop


def last_item(items: Iterable[Item], told: Told) -> Item | None:
    """The item whose words were said last before the cue, if that is not long ago."""
    spoken = [(last_word(item, told), item.number, item) for item in items]
    number, _, item = max(spoken, key=lambda s: s[:2], default=(-1, 0, None))
    if number < 0:
        return None
    return item if told.at_ms - told.transcript.words[number].span.end_ms <= RECENT_MS else None


def last_word(item: Item, told: Told, before: int | None = None) -> int:
    """The number of the item's last telling word before a word (the cue's first unless given); -1 if there is none."""
    limit = told.cue.words.first if before is None else before
    telling = [w for q in item.quotes if q.recording == told.recording for w in (q.marked or (q.words,))]
    return max((min(w.stop, limit) - 1 for w in telling if w.first < limit), default=-1)


def put_aside(found: PunchList, items: Sequence[Item], why: str, because: str) -> PunchList:
    aside = tuple(SetAside(why, i.element, i.issues, i.actions, i.quotes, because, i.steps) for i in items)
    left = tuple(i for i in found.items if i not in items)
    return replace(found, items=left, set_aside=(*found.set_aside, *aside))


def with_item(found: PunchList, item: Item) -> PunchList:
    return replace(found, items=tuple(item if i.key == item.key else i for i in found.items))


def flagged(found: PunchList, code: str, reason: str) -> PunchList:
    return replace(found, flags=(*found.flags, Flag(code, reason)))


STEPS: dict[Meaning, Callable[[PunchList, Told], PunchList]] = {
    "note": note,
    "office": office,
    "picture": picture,
    "wish": wish,
    "strike": strike,
    "end": end,
}
