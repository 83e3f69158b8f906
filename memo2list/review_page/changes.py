"""Changes asked for by the page: each function takes the desk, the form and who asks, and says what it came to."""

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from memo2list.errors import InputError, StaleEditError
from memo2list.exports import phrasing
from memo2list.records import Item, Quote, State, Transcript, WordRange
from memo2list.review_page import album, fields, learning
from memo2list.review_page.desk import Desk
from memo2list.store.edits import plain


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a change came to, in one sentence, and the item to look at next."""

    message: str
    key: str = ""


class Form:
    """The fields of a form; `one` and `many` never raise."""

    def __init__(self, pairs: Iterable[tuple[str, str]]):
        self._values: dict[str, list[str]] = {}
        for name, value in pairs:
            self._values.setdefault(name, []).append(value)

    def one(self, name: str) -> str:
        return self._values.get(name, [""])[-1]

    def many(self, name: str) -> list[str]:
        return [value for value in self._values.get(name, []) if value]

    def number(self, name: str) -> int:
        """A whole number; InputError if it is none."""
        text = self.one(name)
        if not text.isdecimal() or len(text) > 9:
            raise InputError(name, f"is no number: {text[:20]!r}.", "Load the page again.")
        return int(text)

    @property
    def texts(self) -> Mapping[str, str]:
        return {name: values[-1] for name, values in self._values.items()}


def make(desk: Desk, form: Form, who: str) -> Outcome:
    """The change the form names. Raises the errors of the store, StaleEditError among them; then nothing was changed."""
    change = CHANGES.get(form.one("do"))
    if change is None:
        raise InputError(repr(form.one("do")[:20]), "is no change.", f"Changes are {', '.join(CHANGES)}.")
    with desk.changing:
        return change(desk, form, who)


def keep(desk: Desk, form: Form, who: str) -> Outcome:
    item = _as_seen(desk, form)
    desk.store.keep(desk.job, item.key, who)
    return Outcome(f"Kept {item.number}.", item.key)


def drop(desk: Desk, form: Form, who: str) -> Outcome:
    item, why = _as_seen(desk, form), form.one("why").strip()
    desk.store.drop(desk.job, item.key, why, who)
    return Outcome(f"Dropped {item.number}{': ' + why if why else ''}.", item.key)


def undrop(desk: Desk, form: Form, who: str) -> Outcome:
    item = _as_seen(desk, form)
    desk.store.undrop(desk.job, item.key, who)
    return Outcome(f"{item.number} is on the list again.", item.key)


def set_fields(desk: Desk, form: Form, who: str) -> Outcome:
    """Every field that was changed in the form, if none of them was changed by somebody else since."""
    item = desk.store.item(desk.job, form.one("key"))
    before = _shown(form, item)
    wanted = fields.changed_fields(dict(form.texts), before)
    for name in wanted:
        if plain(getattr(item, name)) != plain(before[name]):
            raise StaleEditError(item.number, name, before[name], getattr(item, name))
    with desk.store.together():
        for name, value in wanted.items():
            desk.store.edit(desk.job, item.key, name, before[name], value, who)
        if form.one("and_keep"):
            desk.store.keep(desk.job, item.key, who)
    changed = ", ".join(fields.BY_NAME[name].label.lower() for name in wanted)
    return Outcome(f"{item.number}: changed {changed}." if wanted else f"{item.number}: nothing was changed.", item.key)


def set_place(desk: Desk, form: Form, who: str) -> Outcome:
    """One place for many items; what stands before the comma (the spot) stays."""
    place = " ".join(form.one("place").split())
    items = _marked(desk, form)
    with desk.store.together():
        for item in items:
            spot = phrasing.spot_of(item.location) if form.one("spots") else ""
            new = ", ".join(part for part in (spot, place) if part) or None
            if new != item.location:
                desk.store.edit(desk.job, item.key, "location", item.location, new, who)
    return Outcome(f"Place of {_numbers(items)}: {place or 'none'}.", items[0].key)


def keep_many(desk: Desk, form: Form, who: str) -> Outcome:
    items = _marked(desk, form)
    with desk.store.together():
        for item in items:
            desk.store.keep(desk.job, item.key, who)
    return Outcome(f"Kept {_numbers(items)}.", items[-1].key)


def drop_many(desk: Desk, form: Form, who: str) -> Outcome:
    items = _marked(desk, form)
    with desk.store.together():
        for item in items:
            desk.store.drop(desk.job, item.key, form.one("why").strip(), who)
    return Outcome(f"Dropped {_numbers(items)}.", items[-1].key)


def merge(desk: Desk, form: Form, who: str) -> Outcome:
    """Into the item `key`, or into the first of those marked."""
    keys = form.many("keys")
    target = form.one("key") or (keys[0] if keys else "")
    into = desk.store.item(desk.job, target)
    others = [desk.store.item(desk.job, key) for key in keys if key != target]
    desk.store.merge(desk.job, into.key, [i.key for i in others], who)
    return Outcome(f"Merged {_numbers(others)} into {into.number}.", into.key)


def split(desk: Desk, form: Form, who: str) -> Outcome:
    item = desk.store.item(desk.job, form.one("key"))
    quotes = [int(n) for n in form.many("quote") if n.isdecimal()]
    given = {name: fields.value_of(name, form.one(name), ()) for name in ("element", "issues", "actions") if form.one(name)}
    items = desk.store.split(desk.job, item.key, quotes, given, who)
    known = {i.key for i in items} - {i.key for i in desk.store.items(desk.job) if i.key == item.key}
    new = next((i for i in items if i.key in known and i.key.startswith("split-")), item)
    return Outcome(f"Split {item.number}; the new line is below it.", new.key)


def move(desk: Desk, form: Form, who: str) -> Outcome:
    """One line up or down among those of its place, or after the item `after`."""
    item, items = desk.store.item(desk.job, form.one("key")), desk.store.items(desk.job)
    beside = [i for i in items if phrasing.section_of(i.location) == phrasing.section_of(item.location)]
    at = next(n for n, i in enumerate(beside) if i.key == item.key)
    to = at + (-1 if form.one("way") == "up" else 1)
    if not 0 <= to < len(beside):
        return Outcome(f"{item.number} is at the end of its place already.", item.key)
    after = beside[to].key if to > at else before_key(items, beside[to].key)
    desk.store.move(desk.job, item.key, after, who)
    return Outcome(f"Moved {item.number} {'up' if to < at else 'down'}.", item.key)


def before_key(items: tuple[Item, ...], key: str) -> str:
    """The key of the item just before that one, "" if it is the first."""
    at = next(n for n, i in enumerate(items) if i.key == key)
    return items[at - 1].key if at else ""


def add(desk: Desk, form: Form, who: str) -> Outcome:
    """An item of the reviewer's own, from the fields of the form."""
    names = ("title", "element", "issues", "actions", "location", "quantities", "note")
    given = {n: fields.value_of(n, form.one(n), ()) for n in names if form.one(n).strip()}
    return _added(desk, {**given, "kind": "problem" if given.get("issues") else "work"}, who)


def lift(desk: Desk, form: Form, who: str) -> Outcome:
    """Makes an item of talk that was set aside."""
    aside = desk.store.set_aside(desk.job)
    number = form.number("number")
    if number >= len(aside) or aside_mark(aside[number].quotes) != form.one("mark"):
        raise InputError("the talk set aside", "has changed since the page was loaded.", "Load the page again.")
    one = aside[number]
    given = {
        "element": one.element or "unnamed",
        "issues": one.issues,
        "actions": one.actions,
        "location": place_at(desk, one.quotes[0]) if one.quotes else None,
        "kind": "problem" if one.issues else "work",
        "quotes": one.quotes,
    }
    return _added(desk, given, who)


def from_talk(desk: Desk, form: Form, who: str) -> Outcome:
    """Makes an item of a stretch of the transcript, from word `first` to word `last`."""
    kept = next((t for t in desk.transcripts() if t.recording.sha256 == form.one("recording")), None)
    first, last = form.number("first"), form.number("last")
    if kept is None or not first <= last < len(kept.words):
        raise InputError("that stretch", "is not in the transcript.", "Mark it again.")
    quote = quote_of(kept, WordRange(first, last + 1))
    given = understood(desk, quote)
    if form.one("title").strip():
        given["title"] = " ".join(form.one("title").split())
    return _added(desk, {**given, "quotes": (quote,), "location": place_at(desk, quote)}, who)


def quote_of(transcript: Transcript, words: WordRange) -> Quote:
    return Quote(transcript.recording.sha256, words, transcript.time(words), transcript.quote(words))


def understood(desk: Desk, quote: Quote) -> dict[str, Any]:
    """What the lexicon makes of the words: element, problems and actions, or their text as a title."""
    found: dict[str, list[str]] = {}
    for match in desk.lexicon.find(quote.text.split()):
        found.setdefault(match.entry.kind, []).append(match.entry.name)
    given: dict[str, Any] = {
        "issues": tuple(dict.fromkeys(found.get("problem", ()))),
        "actions": tuple(dict.fromkeys(found.get("action", ()))),
        "kind": "problem" if found.get("problem") else "work",
    }
    if found.get("element"):
        return {**given, "element": found["element"][0]}
    return {**given, "title": quote.text[:80]}


def place_at(desk: Desk, quote: Quote) -> str | None:
    """The place of the item that was talked about last before these words."""
    before = [
        (q.span, i.location)
        for i in desk.store.items(desk.job)
        for q in i.quotes
        if q.recording == quote.recording and i.location
    ]
    earlier = [place for span, place in sorted(before, key=lambda b: b[0]) if span.start_ms <= quote.span.start_ms]
    place = earlier[-1] if earlier else None
    return phrasing.section_of(place) or None


def note(desk: Desk, form: Form, who: str) -> Outcome:
    item = desk.store.item(desk.job, form.one("key"))
    before = form.one("was_note") if "was_note" in form.texts else item.note
    desk.store.edit(desk.job, item.key, "note", before, fields.value_of("note", form.one("note"), item.note), who)
    return Outcome(f"Noted at {item.number}.", item.key)


def state(desk: Desk, form: Form, who: str) -> Outcome:
    """Open or done, with a note for the close-out if one is given."""
    item = desk.store.item(desk.job, form.one("key"))
    new: State = "done" if form.one("state") == "done" else "open"
    with desk.store.together():
        desk.store.set_state(desk.job, item.key, new, who)
        if form.one("note").strip():
            text = "\n".join(filter(None, (item.note, form.one("note").strip())))
            desk.store.note(desk.job, item.key, text, who)
    return Outcome(f"{item.number} is {new}.", item.key)


def office(desk: Desk, form: Form, who: str) -> Outcome:
    """A question for the office: done, or open again."""
    new: State = "done" if form.one("state") == "done" else "open"
    desk.store.set_office_state(desk.job, form.one("key"), new, who)
    return Outcome("The question is done." if new == "done" else "The question is open again.", form.one("key"))


def speakers(desk: Desk, form: Form, who: str) -> Outcome:
    """Who the speakers of a recording are; fields "speaker A", "speaker B", …"""
    given = {name.removeprefix("speaker "): text for name, text in form.texts.items() if name.startswith("speaker ")}
    desk.store.name_speakers(desk.job, form.one("recording"), given, who)
    return Outcome("The speakers are named.")


def undo(desk: Desk, form: Form, who: str) -> Outcome:
    desk.store.undo(desk.job, who)
    return Outcome("Taken back.", form.one("key"))


def redo(desk: Desk, form: Form, who: str) -> Outcome:
    desk.store.redo(desk.job, who)
    return Outcome("Done again.", form.one("key"))


def remember(desk: Desk, form: Form, who: str) -> Outcome:
    """ "When I say … I mean …", into the user's own pack."""
    entry = learning.remember(desk.own_lexicon, desk.lexicon, form.one("kind"), form.one("said"), form.one("meant"))
    for name in ("lexicon", "words"):
        desk.__dict__.pop(name, None)
    return Outcome(
        f"From the next reading, “{entry.said}” is {entry.meant}. `memo2list again` reads this job anew.", form.one("key")
    )


def frame(desk: Desk, form: Form, who: str) -> Outcome:
    """Keeps a frame of the video with the item."""
    from memo2list.review_page import media

    item = desk.store.item(desk.job, form.one("key"))
    media.keep_frame(desk, item.key, form.one("recording"), form.number("at_ms"))
    return Outcome(f"The picture is kept with {item.number}.", item.key)


def clock(desk: Desk, form: Form, who: str) -> Outcome:
    """All pictures of a camera whose clock was wrong."""
    offset_ms = album.offset_of(form.one("offset"))
    desk.store.set_clock(desk.job, form.one("camera"), offset_ms)
    return Outcome(
        f"{album.offset_text(offset_ms)} is added to the times of {form.one('camera') or 'the camera without a name'}."
    )


def clock_by(desk: Desk, form: Form, who: str) -> Outcome:
    """The same, told by one picture of which it is known what it shows."""
    picture = album.set_by(desk, form.number("number"), form.one("key"))
    return Outcome(f"The clock of {picture.camera or 'the camera without a name'} is set by {picture.name}.")


def give(desk: Desk, form: Form, who: str) -> Outcome:
    """A picture to a line, or back to the time it was taken."""
    desk.store.give_picture(desk.job, form.number("number"), form.one("key"))
    if not form.one("key"):
        return Outcome("It goes by the time it was taken.")
    return Outcome(f"The picture is with line {desk.store.item(desk.job, form.one('key')).number}.")


def began(desk: Desk, form: Form, who: str) -> Outcome:
    """When a recording began, where the file told it wrong or not at all."""
    desk.store.set_start(desk.job, form.one("recording"), album.start_ms(form.one("began")), f"told by {who or 'somebody'}")
    return Outcome("When it began is changed.")


def aside_mark(quotes: tuple[Quote, ...]) -> str:
    """Tells whether talk set aside is still the one the page showed."""
    return f"{quotes[0].recording[:8]}-{quotes[0].span.start_ms}" if quotes else "-"


def _added(desk: Desk, given: Mapping[str, Any], who: str) -> Outcome:
    items = desk.store.add_item(desk.job, given, who)
    return Outcome(f"{items[-1].number} is on the list: {items[-1].title}.", items[-1].key)


def _as_seen(desk: Desk, form: Form) -> Item:
    """The item, if its review is what the page showed."""
    item, seen = desk.store.item(desk.job, form.one("key")), form.one("was")
    if seen and seen != item.review:
        raise StaleEditError(item.number, "review", seen, item.review)
    return item


def _shown(form: Form, item: Item) -> dict[str, Any]:
    """The values the form was made from; InputError if it does not say them."""
    try:
        told = json.loads(form.one("was"))
        from memo2list.store.edits import field_value

        return {name: field_value(name, told[name]) for name in fields.BY_NAME if name in told}
    except (ValueError, TypeError, KeyError):
        raise InputError(f"item {item.number}", "cannot be changed by this form.", "Load the page again.") from None


def _marked(desk: Desk, form: Form) -> list[Item]:
    items = [desk.store.item(desk.job, key) for key in dict.fromkeys(form.many("keys") or form.many("key"))]
    if not items:
        raise InputError("no item", "is marked.", "Mark the items first: press v on each, or touch its bead.")
    return items


def _numbers(items: Iterable[Item]) -> str:
    return ", ".join(str(i.number) for i in items)


CHANGES: dict[str, Callable[[Desk, Form, str], Outcome]] = {
    "keep": keep,
    "drop": drop,
    "undrop": undrop,
    "fields": set_fields,
    "place": set_place,
    "keep-many": keep_many,
    "drop-many": drop_many,
    "merge": merge,
    "split": split,
    "move": move,
    "add": add,
    "lift": lift,
    "talk": from_talk,
    "note": note,
    "state": state,
    "office": office,
    "speakers": speakers,
    "undo": undo,
    "redo": redo,
    "remember": remember,
    "frame": frame,
    "clock": clock,
    "clock-by": clock_by,
    "give": give,
    "began": began,
}
