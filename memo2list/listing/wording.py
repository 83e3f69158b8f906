"""The words of an item: its title, names as the lexicon and as the speaker says them, place, speakers and quotes."""

from collections.abc import Iterable, Sequence

from memo2list.records import Finding, ItemKind, Mention, Quote, Reading, WordRange
from memo2list.timing import TimeSpan
from memo2list.vocabulary.entries import Entry

LONGEST_QUOTE_MS = 45_000
MOST_QUOTES = 6


def names(mentions: Iterable[Mention]) -> tuple[str, ...]:
    """Lexicon names first, then the words as said where they differ."""
    listed = list(mentions)
    return tuple(dict.fromkeys([*(m.entry for m in listed), *(m.said for m in listed if m.said)]))


def heard(findings: Sequence[Finding]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(f.element.said or f.element.entry for f in findings if f.element))


def title(element: str, problems: Sequence[str], actions: Sequence[str]) -> str:
    """ "Fascia: rot — replace"

    >>> title("fascia", ["rot"], ["replace"]), title("porch floor", [], ["paint"])
    ('Fascia: rot — replace', 'Porch floor — paint')
    """
    wrong, deeds = ", ".join(dict.fromkeys(problems)), ", ".join(dict.fromkeys(actions))
    head = element[:1].upper() + element[1:]
    return f"{head}{': ' + wrong if wrong else ''}{' — ' + deeds if deeds else ''}"


def kind_of(problems: Sequence[str], actions: Sequence[Entry | None]) -> ItemKind:
    """verify if all that is to be done is to look; problem if something is wrong; else work."""
    if actions and all(a is not None and a.sense == "verify" for a in actions):
        return "verify"
    return "problem" if problems else "work"


def location(findings: Sequence[Finding]) -> str | None:
    """The place named for it, the first one said here before those carried on."""
    places = [f.place for f in findings if f.place]
    said = [p for p in places if not p.carried]
    return (said or places)[0].name if places else None


def speakers(findings: Sequence[Finding]) -> str:
    return "+".join(sorted({f.speaker for f in findings if f.speaker}))


def quotes(reading: Reading, findings: Sequence[Finding]) -> tuple[Quote, ...]:
    """The passages behind an item in order, each once, none too long to play."""
    ranges = sorted({r for f in findings for r in (f.evidence or (f.words,))})
    marked = [w for f in findings for w in (f.words, *((f.element.words,) if f.element else ()))]
    found = [quote(reading, r, marked) for r in ranges]
    return tuple(q for q in found if q.span.duration_ms <= LONGEST_QUOTE_MS)[:MOST_QUOTES] or tuple(found[:1])


def quote(reading: Reading, words: WordRange, marked: Sequence[WordRange]) -> Quote:
    transcript = reading.transcript
    inside = tuple(dict.fromkeys(m for m in marked if m.first >= words.first and m.stop <= words.stop))
    span: TimeSpan = transcript.time(words)
    return Quote(transcript.recording.sha256, words, span, transcript.quote(words), inside)
