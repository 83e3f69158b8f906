"""Labelled walkthroughs → what the deep reader is trained on: (prompt, answer) pairs.

The prompts are made by the same code that makes them when a recording is read, from a transcript
built out of the walkthrough's turns. Every pass over the data shows each walkthrough in another
guise: with or without speakers, cut at other places, written as a recogniser would write it.
"""

import json
import pathlib
import random
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from memo2list.reading.deep import notation
from memo2list.reading.deep.lines import Line, lines
from memo2list.reading.deep.notation import Amount, Row
from memo2list.reading.deep.windows import Window, even_cuts, prompt, reach_back, reach_on, windows
from memo2list.records import Recording, Transcript, Turn, Word, WordRange
from memo2list.timing import TimeSpan
from tests.training.spelling import Spelling

SHORT_TURN = 3  # words; a turn that short may be taken for the voice before it
WORD_MS = 370  # an even speaking rate of 2.7 words a second
FILLERS = {"um", "uh", "er", "hm", "erm", "mm"}
STOP = set(
    "a an the of on in to is are be it its and or do does did not no with for at by from up off out into over under this that "
    "there here area some new old all both".split()
)
ENDINGS = ("ing", "ness", "ies", "ed", "es", "s", "en", "y", "e")


@dataclass(frozen=True, slots=True)
class Guise:
    """How a walkthrough is written down for one pass."""

    speakers: bool = True
    flat: bool = False  # no capitals, no punctuation
    heard: bool = False  # spelt as a recogniser spells, fillers dropped, turns lost or told by voice
    mishear: float = 0.0  # share of the trade words that are misheard
    slips: float = 0.0  # share of the changes of voice that are heard a word or two off, or not at all


PLAIN = Guise()


@dataclass(frozen=True, slots=True)
class Hearing:
    """What is known of how words are heard: trade words misheard, and the recogniser's spelling."""

    misheard: dict[str, list[str]] = field(default_factory=dict)
    spelling: Spelling = field(default_factory=lambda: Spelling({}))


def documents(paths: Iterable[pathlib.Path]) -> Iterator[dict]:
    for path in paths:
        doc = json.loads(path.read_text(encoding="utf-8"))
        yield from doc.get("scenes", [doc])


def stem(word: str) -> str:
    word = re.sub(r"[^a-z0-9]", "", word.lower())
    for end in ENDINGS:
        if word.endswith(end) and len(word) - len(end) >= 3:
            return word[: -len(end)]
    return word


def stems(text: str) -> set[str]:
    parts = re.sub(r"[-/]", " ", text).split()
    kept = {stem(w) for w in parts if w.lower() not in STOP} or {stem(w) for w in parts}
    return kept - {""}


@dataclass(frozen=True, slots=True)
class Talk:
    """A walkthrough as a transcript and as lines, with the lines that hold each turn."""

    transcript: Transcript
    rows: tuple[Line, ...]
    lines_of_turn: dict[int, tuple[int, ...]]


def talk(doc: dict, guise: Guise, rng: random.Random, hearing: Hearing | None = None) -> Talk:
    words: list[Word] = []
    turns: list[Turn] = []
    origin: list[int] = []
    now = 0
    for turn in doc["turns"]:
        said = spoken(turn["text"], guise, rng, hearing or Hearing())
        if not said:
            continue
        now += round(float(turn.get("pause", 0.3)) * 1000)
        first = len(words)
        for text in said:
            words.append(Word(text, TimeSpan(now, now + WORD_MS)))
            origin.append(turn["n"])
            now += WORD_MS
        turns.append(Turn(WordRange(first, len(words)), turn["speaker"] if guise.speakers else None))
    if guise.heard:
        turns = voices(turns, guise, rng) if guise.speakers else [Turn(WordRange(0, len(words)))]
    transcript = Transcript(Recording(doc["id"], "0" * 64, now, ""), tuple(words), tuple(turns))
    rows = lines(transcript)
    where: dict[int, set[int]] = {}
    for row in rows:
        for n in row.words:
            where.setdefault(origin[n], set()).add(row.number)
    return Talk(transcript, rows, {n: tuple(sorted(found)) for n, found in where.items()})


def voices(turns: list[Turn], guise: Guise, rng: random.Random) -> list[Turn]:
    """Turns as they are told apart by voice: named in the order of first speech, some borders off or lost."""
    names: dict[str | None, str] = {}
    stops: list[tuple[int, str]] = []
    for turn in turns:
        name = names.setdefault(turn.speaker, "ABCDEFG"[len(names) % 7])
        slip = rng.random() < guise.slips
        if stops and (stops[-1][1] == name or (slip and len(turn.words) <= SHORT_TURN)):
            stops[-1] = (turn.words.stop, stops[-1][1])
            continue
        if stops and slip:
            earliest = stops[-2][0] + 1 if len(stops) > 1 else 1
            stops[-1] = (min(turn.words.stop - 1, max(earliest, stops[-1][0] + rng.choice((-2, -1, 1, 2)))), stops[-1][1])
        stops.append((turn.words.stop, name))
    firsts = [0, *(stop for stop, _ in stops)]
    return [Turn(WordRange(first, stop), name) for first, (stop, name) in zip(firsts, stops, strict=False) if stop > first]


def spoken(text: str, guise: Guise, rng: random.Random, hearing: Hearing) -> list[str]:
    if guise.mishear:
        for term, instead in hearing.misheard.items():
            if rng.random() < guise.mishear and re.search(rf"\b{re.escape(term)}\b", text, re.IGNORECASE):
                text = re.sub(rf"\b{re.escape(term)}\b", rng.choice(instead), text, flags=re.IGNORECASE)
    if guise.heard:
        kept = [w for w in text.split() if re.sub(r"\W", "", w.lower()) not in FILLERS]
        text = " ".join(hearing.spelling.written(kept, rng))
    if guise.flat:
        text = re.sub(r"[^\w' -]", " ", text.lower())
    return [w for w in text.split() if re.search(r"\w", w)]


def evidence(item: dict, told: Talk) -> tuple[int, ...]:
    """The lines that carry an item: of a turn that spans several lines, those that name any part of it."""
    named = set().union(*(stems(n) for key in ("element", "issue", "action", "material") for n in item[key]), set())
    out: list[int] = []
    for turn in item["turns"]:
        held = told.lines_of_turn.get(turn, ())
        telling = [n for n in held if named & stems(told.rows[n].text)]
        out += telling or held
    return tuple(sorted(set(out)))


def best_name(names: list[str], text: str, must: bool = False) -> str:
    """The first accepted name said in `text`, else the plainest; with `must`, "" if none was said."""
    said = stems(text)
    for name in names:
        if stems(name) <= said:
            return name
    if must and not any(stems(name) & said for name in names):
        return ""
    return names[0] if names else ""


def row_of(item: dict, shown: tuple[int, ...], whole: bool, told: Talk, window: Window) -> Row | None:
    text = " ".join(told.rows[n].text for n in shown)
    around = " ".join(r.text for r in told.rows[window.start : window.stop])
    problem = best_name(item["issue"], text, must=not whole)
    action = best_name(item["action"], text, must=not whole)
    if not problem and not action:
        return None
    place = best_name(item["location"], around + " " + window.place)
    amounts = tuple(
        Amount(tuple(q["value"]) if isinstance(q["value"], list) else q["value"], q["unit"]) for q in item["quantity"]
    )
    marks = ("?" if item["kind"] == "verify" else "") + {"possible": "~", "conditional": "^"}.get(item["certainty"], "")
    marks += "!" if item["safety"] else ""
    local = tuple(window.local(n) for n in shown)
    material = "; ".join(item["material"][:2])
    return Row(local, best_name(item["element"], text), problem, action, place, amounts, material, marks)


def answer(doc: dict, told: Talk, window: Window) -> str:
    """The rows first said inside the window's focus; evidence outside what is shown is left out."""
    found = []
    for item in doc["items"]:
        held = evidence(item, told)
        shown = tuple(n for n in held if window.start <= n < window.stop)
        inside = [n for n in shown if window.first <= n < window.last]
        if not inside or shown[0] < window.first:
            continue
        row = row_of(item, shown, shown == held, told, window)
        if row:
            found.append((shown[0], row))
    return notation.write(tuple(row for _, row in sorted(found, key=lambda pair: pair[0])))


def place_before(doc: dict, told: Talk, start: int) -> str:
    """The place in force where a window starts, as the items told before it have it."""
    earlier = [(max(evidence(i, told)), i) for i in doc["items"] if i["location"] and evidence(i, told)]
    earlier = [pair for pair in earlier if pair[0] < start]
    return max(earlier, key=lambda pair: pair[0])[1]["location"][0] if earlier else ""


def cut(doc: dict, told: Talk, rng: random.Random) -> list[Window]:
    """Windows of random sizes over a walkthrough."""
    size = rng.choice((130, 180, 200, 230, 260, 300, 400))
    before, after = rng.choice((60, 110, 150, 150, 200)), rng.choice((30, 60, 80, 80, 110))
    if rng.random() < 0.4:
        chosen = windows(told.rows, size, before, after)
    else:
        chosen = tuple(
            Window(reach_back(told.rows, first, before), first, last, reach_on(told.rows, last, after))
            for first, last in even_cuts(told.rows, size)
        )
    return [replace(w, place=place_before(doc, told, w.start) if w.start and rng.random() < 0.75 else "") for w in chosen]


def guise_for(rng: random.Random) -> Guise:
    draw = rng.random()
    if draw < 0.42:
        return Guise(mishear=0.03)
    if draw < 0.5:
        return Guise(speakers=False)
    if draw < 0.7:
        return Guise(speakers=False, heard=True, mishear=0.1)
    if draw < 0.92:
        return Guise(heard=True, mishear=0.1, slips=0.15)
    return Guise(speakers=rng.random() < 0.5, flat=True, mishear=0.08)


def samples(docs: list[dict], passes: int, hearing: Hearing, seed: int = 7) -> list[tuple[str, str]]:
    """All (prompt, answer) pairs of `passes` passes over the documents, shuffled within each pass."""
    rng = random.Random(seed)
    out: list[tuple[str, str]] = []
    for number in range(passes):
        batch = []
        for doc in docs:
            told = talk(doc, guise_for(rng) if number else Guise(speakers=True), rng, hearing)
            batch += [(prompt(told.rows, w), answer(doc, told, w)) for w in cut(doc, told, rng)]
        rng.shuffle(batch)
        out += batch
    return out
