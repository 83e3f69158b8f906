"""Held to the words: a generated row becomes a finding only as far as the talk and the lexicon carry it.

Evidence is kept as word ranges of the passages that name any part of the row; element, problem and
action become lexicon entries where there is one, else stay as said with a flag; quantities are those
that `quantities.py` reads in the evidence; a problem that nobody tells is left out where there is a deed
to list; a row none of whose names is said in its evidence is dropped.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from memo2list.reading.candidates import Talk
from memo2list.reading.deep.lines import Line
from memo2list.reading.deep.model import RowText
from memo2list.reading.deep.notation import Amount, Row, write_amount
from memo2list.reading.deep.number_words import number_said
from memo2list.reading.deep.windows import Window
from memo2list.reading.quantities import kind_of
from memo2list.reading.scene import Stage
from memo2list.records import (
    Assertion,
    Finding,
    Flag,
    Mention,
    MentionKind,
    Part,
    Place,
    Quantity,
    QuantityKind,
    Status,
    WordRange,
)
from memo2list.vocabulary.entries import Matcher

SKIP = frozenset(
    "a an the of on in to is are be it its and or do does did not no with for at by from up off out into over".split()
)
ENDINGS = ("ing", "ness", "ies", "ed", "es", "s", "en", "y", "e")
NEXT_TO = 1  # lines before and after the evidence in which a number may be said


@dataclass(frozen=True, slots=True)
class Dropped:
    """A row that was not used, and why."""

    text: str
    why: str


def ground(row: Row, made: RowText, window: Window, lines: Sequence[Line], talk: Talk) -> Finding | Dropped:
    """The finding a row stands for, or the reason why it stands for none."""
    shown = [lines[n] for n in map(window.overall, row.lines) if window.start <= n < window.stop]
    if not shown:
        return Dropped(made.text, "names no line of the talk shown to it")
    stages = stages_of(talk, [line.words for line in shown])
    if row.action and not told("problem", row.problem, stages_shown(window, lines, talk), talk.lexicon):
        row = replace(row, problem="")
    wanted = stems(" ".join((row.element, row.problem, row.action)))
    telling = [s for s in stages if wanted & stems(" ".join(s.said))]
    if not telling and not any(k.entry.name in (row.element, row.problem, row.action) for s in stages for k in s.known):
        return Dropped(made.text, "has no word that is said in its evidence")
    kept = telling or stages
    element = mention("element", row.element, kept, talk.lexicon)
    flags = tuple(flags_of(row, element, stages, talk))
    return Finding(
        passage=kept[0].number,
        words=kept[0].words,
        element=element,
        problems=(mention("problem", row.problem, kept, talk.lexicon),) if row.problem else (),
        actions=(mention("action", row.action, kept, talk.lexicon),) if row.action else (),
        assertion=Assertion(status_of(row)),
        place=place_of(row, kept),
        quantities=tuple(measured(row.amounts, stages, around(shown, window, lines, talk))),
        materials=tuple(mention("material", m.strip(), kept, talk.lexicon) for m in row.material.split(";") if m.strip()),
        speaker=kept[0].speaker,
        evidence=joined(s.words for s in kept),
        flags=flags,
        parts=(
            Part("deep", round(made.mean, 4), "mean probability of the row's tokens"),
            Part("least", round(made.least, 4), "its least sure token"),
        ),
        safety="!" in row.marks,
        to_verify="?" in row.marks,
        reader="deep",
        steps=(f"deep reader: {made.text}", *(f"evidence: {' '.join(s.said)}" for s in kept[:4])),
    )


def stem(word: str) -> str:
    for end in ENDINGS:
        if word.endswith(end) and len(word) - len(end) >= 3:
            return word[: -len(end)]
    return word


def stems(text: str) -> frozenset[str]:
    """What counts of a few words when they are compared: no articles, no endings, hyphens opened.

    >>> sorted(stems("the rotted door-casing"))
    ['cas', 'door', 'rott']
    """
    words = re.sub(r"[^a-z0-9 ]", "", text.lower().replace("-", " ").replace("/", " ")).split()
    return frozenset(stem(w) for w in words if w not in SKIP)


def stages_of(talk: Talk, ranges: Sequence[WordRange]) -> list[Stage]:
    return [s for s in talk.stages if any(s.words.overlaps(r) for r in ranges)]


def stages_shown(window: Window, lines: Sequence[Line], talk: Talk) -> list[Stage]:
    """All the model was shown."""
    return stages_of(talk, [lines[window.start].words.join(lines[window.stop - 1].words)])


def told(kind: MentionKind, name: str, stages: Sequence[Stage], lexicon: Matcher) -> bool:
    """True where any word of the name is said, or what the lexicon knows by that name."""
    wanted, entry = stems(name), entry_of(kind, name, lexicon)
    return any(
        wanted & stems(" ".join(stage.said)) or any(known.entry.name in (name, entry) for known in stage.known)
        for stage in stages
    )


def mention(kind: MentionKind, name: str, stages: Sequence[Stage], lexicon: Matcher) -> Mention:
    """The row's name as a lexicon entry said in the evidence, else as an entry, else as the words themselves."""
    wanted = stems(name)
    known = [k for s in stages for k in s.of_kind(kind) if k.entry.name == name or stems(k.mention.said) == wanted]
    if known:
        best = known[0].mention
        return Mention(kind, best.entry, best.words, best.how, best.score, name)
    entry = entry_of(kind, name, lexicon)
    return Mention(kind, entry or name, words_of(wanted, stages), "exact" if entry else "variant", 1.0, name)


def entry_of(kind: MentionKind, name: str, lexicon: Matcher) -> str:
    """The entry whose form is the whole name; "" if there is none."""
    if lexicon.entry(kind, name):
        return name
    words = name.split()
    whole = [
        m for m in lexicon.find(words) if m.entry.kind == kind and (m.start, m.stop) == (0, len(words)) and m.how != "sound-alike"
    ]
    return whole[0].entry.name if whole else ""


def words_of(wanted: frozenset[str], stages: Sequence[Stage]) -> WordRange:
    """Where the name is said: the closest run of its words, else the first passage."""
    for stage in stages:
        at = [stage.words.first + n for n, word in enumerate(stage.said) if stems(word) & wanted]
        if at and at[-1] - at[0] < 8:
            return WordRange(at[0], at[-1] + 1)
        if at:
            return WordRange(at[0], at[0] + 1)
    return stages[0].words


def flags_of(row: Row, element: Mention, stages: Sequence[Stage], talk: Talk) -> Iterable[Flag]:
    said = frozenset().union(*(stems(" ".join(s.said)) for s in stages))
    entry = talk.lexicon.entry("element", element.entry)
    if entry is None:
        yield Flag("not-in-lexicon", f'the lexicon has no word for "{row.element}"')
    if not stems(row.element) & said and not any(k.entry.name == element.entry for s in stages for k in s.known):
        yield Flag("element-inferred", f'"{row.element}" is not named in the words quoted; it is what "it" was taken for')
    unread = [a for a in row.amounts if not any(same_amount(a, q) for s in stages for q in s.quantities)]
    if unread:
        yield Flag("measure-unclear", "a measure was understood that is not plainly said in the words quoted")


def status_of(row: Row) -> Status:
    return "conditional" if "^" in row.marks else "possible" if "~" in row.marks else "stated"


def place_of(row: Row, stages: Sequence[Stage]) -> Place | None:
    if not row.place:
        return None
    wanted = stems(row.place)
    here = [s for s in stages if wanted & stems(" ".join(s.said))]
    return Place(row.place, words_of(wanted, here) if here else WordRange(stages[0].words.first, stages[0].words.first), not here)


def around(shown: Sequence[Line], window: Window, lines: Sequence[Line], talk: Talk) -> frozenset[str]:
    """The words said in the evidence and in the lines next to it, hyphens opened."""
    first, last = max(window.start, shown[0].number - NEXT_TO), min(window.stop, shown[-1].number + NEXT_TO + 1)
    near = stages_of(talk, [lines[first].words.join(lines[last - 1].words)])
    return frozenset(part for s in near for word in s.said for part in word.split("-"))


def measured(amounts: Sequence[Amount], stages: Sequence[Stage], said: frozenset[str]) -> Iterable[Quantity]:
    """The row's amounts as the quick reader reads them in the evidence, else as given where their number is said near."""
    for amount in amounts:
        found = [q for s in stages for q in (*s.quantities, *s.sizes) if same_amount(amount, q)]
        if found:
            yield found[0]
        elif all(number_said(value, said) for value in as_pair(amount.value)):
            value = amount.value
            yield Quantity(value, amount.unit, kind_of_unit(amount.unit), write_amount(amount), stages[0].words)


def kind_of_unit(unit: str) -> QuantityKind:
    """What a generated unit measures; a unit nobody has a size for ("courses", "coats") counts things."""
    from pint import UndefinedUnitError

    try:
        return kind_of(unit)
    except (UndefinedUnitError, KeyError):
        return "count"


def same_amount(amount: Amount, quantity: Quantity) -> bool:
    return amount.unit == quantity.unit and as_pair(amount.value) == as_pair(quantity.value)


def as_pair(value: float | tuple[float, float]) -> tuple[float, float]:
    return (float(value[0]), float(value[1])) if isinstance(value, tuple) else (float(value), float(value))


def joined(ranges: Iterable[WordRange]) -> tuple[WordRange, ...]:
    """Ranges in order, those that touch made one."""
    out: list[WordRange] = []
    for words in sorted(ranges):
        if out and words.first <= out[-1].stop:
            out[-1] = out[-1].join(words)
        else:
            out.append(words)
    return tuple(out)
