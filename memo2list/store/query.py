"""What a typed query means: its words, the lexicon's names in them, and other ways to say them. Any text is a query."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Protocol

from memo2list.vocabulary.entries import Entry, Match

WORD = re.compile(r"[^\W_]+(?:['’][^\W_]+)?")
MOST_WORDS = 24
LONGEST_WORD = 40
MOST_FORMS = 14
SUBJECTS = ("element", "problem", "action", "material", "place")
EVERYDAY = frozenset(
    "a an and any are as at be been by did do does for from had has have how i in is it its last me my of on or our same so some "
    "that the their there these they this time to was we were what when where which who with you".split()
)


class SearchLexicon(Protocol):
    """What search asks of the vocabulary; `vocabulary.lexicon.Lexicon` is the real one."""

    entries: tuple[Entry, ...]

    def find(self, words: Sequence[str], probabilities: Sequence[float] | None = None) -> list[Match]: ...


@dataclass(frozen=True, slots=True)
class Term:
    """One thing asked for: the words typed, other ways to say it, and the lexicon names it stands for."""

    words: tuple[str, ...]
    forms: tuple[str, ...] = ()
    names: tuple[tuple[str, str], ...] = ()  # (kind, name)
    inner: tuple[tuple[str, str], ...] = ()  # names of single words inside: "rotten trim" is rot and trim too


@dataclass(frozen=True, slots=True)
class Query:
    """A query in terms; `corrected` says what was taken for what."""

    terms: tuple[Term, ...]
    corrected: tuple[tuple[str, str], ...] = ()

    @property
    def words(self) -> tuple[str, ...]:
        return tuple(word for term in self.terms for word in term.words)

    @property
    def known(self) -> float:
        """The share of terms that the lexicon has a name for."""
        return sum(bool(t.names) for t in self.terms) / max(1, len(self.terms))

    @property
    def names(self) -> tuple[tuple[str, str], ...]:
        return tuple(dict.fromkeys(n for t in self.terms for n in (*t.names, *t.inner)))


@dataclass
class Vocabulary:
    """The lexicon as search needs it, made once: forms of each name, names of each form, kin of each name."""

    lexicon: SearchLexicon
    by_form: dict[str, list[Entry]] = field(default_factory=dict)
    by_name: dict[tuple[str, str], Entry] = field(default_factory=dict)
    children: dict[tuple[str, str], list[str]] = field(default_factory=dict)
    words: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        for entry in self.lexicon.entries:
            self.by_name[entry.kind, entry.name] = entry
            for form in forms_of(entry):
                self.by_form.setdefault(form, []).append(entry)
            if entry.kind_of:
                self.children.setdefault((entry.kind, entry.kind_of), []).append(entry.name)
        self.words = frozenset(w for form in self.by_form for w in words_of(form))

    def kin(self, kind: str, name: str) -> dict[str, float]:
        """Names that are like this one, and how much: itself 1, its kinds 0.7, what it is a kind or part of 0.5, siblings 0.4."""
        likeness = {name: 1.0}
        entry = self.by_name.get((kind, name))
        for child in self.children.get((kind, name), ()):
            likeness.setdefault(child, 0.7)
        for parent in (entry.kind_of, entry.part_of) if entry else ():
            if parent:
                likeness.setdefault(parent, 0.5)
        for sibling in self.children.get((kind, entry.kind_of), ()) if entry and entry.kind_of else ():
            likeness.setdefault(sibling, 0.4)
        return likeness


def forms_of(entry: Entry) -> tuple[str, ...]:
    """Every way to say an entry that is plain words, its name first."""
    every = (entry.name, *entry.forms, *entry.us, *entry.uk, *entry.slang)
    return tuple(dict.fromkeys(form.lower() for form in every if form))


def words_of(text: str) -> list[str]:
    """
    >>> words_of('Rotten "trim" OR 1=1; -- 🙂')
    ['rotten', 'trim', 'or', '1', '1']
    """
    return [w.lower().replace("’", "'")[:LONGEST_WORD] for w in WORD.findall(text)][:MOST_WORDS]


def understand(text: str, vocabulary: Vocabulary, corrections: dict[str, str] | None = None) -> Query:
    """The terms of a query: stretches of words that the lexicon knows, and the other words one by one."""
    corrections = corrections or {}
    words = [corrections.get(w, w) for w in words_of(text)]
    spans = known_spans(words, vocabulary)
    terms: list[Term] = []
    at = 0
    while at < len(words):
        stop, entries = spans.get(at, (at + 1, []))
        said = tuple(words[at:stop])
        if entries or not set(said) <= EVERYDAY:
            names = tuple(dict.fromkeys((e.kind, e.name) for e in entries))
            terms.append(Term(said, other_forms(said, entries), names, inner_names(said, vocabulary)))
        at = stop
    used = tuple((a, b) for a, b in corrections.items() if b in words)
    return Query(tuple(terms) or tuple(Term((w,)) for w in words), used)


def plain_query(text: str) -> Query:
    """The words as typed, one by one: what search would be without the lexicon."""
    words = list(dict.fromkeys(words_of(text)))
    return Query(tuple(Term((w,)) for w in words if w not in EVERYDAY) or tuple(Term((w,)) for w in words))


def known_spans(words: Sequence[str], vocabulary: Vocabulary) -> dict[int, tuple[int, list[Entry]]]:
    """The longest stretch the lexicon knows at each word: (word after it, entries)."""
    spans: dict[int, tuple[int, list[Entry]]] = {}
    for match in vocabulary.lexicon.find(words):
        _widen(spans, match.start, match.stop, [match.entry])
    for first in range(len(words)):
        for stop in range(min(len(words), first + 4), first, -1):
            entries = vocabulary.by_form.get(" ".join(words[first:stop]))
            if entries:
                _widen(spans, first, stop, entries)
                break
    return {first: span for first, span in spans.items() if set(words[first : span[0]]) - EVERYDAY}


def inner_names(said: tuple[str, ...], vocabulary: Vocabulary) -> tuple[tuple[str, str], ...]:
    """One name a word, where the lexicon knows every telling word of several by itself; else none."""
    telling = [w for w in said if w not in EVERYDAY]
    found: list[tuple[str, str]] = []
    for word in telling if len(telling) > 1 else ():
        entries = [*vocabulary.by_form.get(word, ()), *(m.entry for m in vocabulary.lexicon.find([word]))]
        known = [(kind, e.name) for kind in ("element", "problem", "action") for e in entries if e.kind == kind]
        if not known:
            return ()
        found.append(known[0])
    return tuple(dict.fromkeys(found))


def _widen(spans: dict[int, tuple[int, list[Entry]]], first: int, stop: int, entries: list[Entry]) -> None:
    known_stop, known = spans.get(first, (0, []))
    if stop > known_stop:
        spans[first] = (stop, list(entries))
    elif stop == known_stop:
        spans[first] = (stop, [*known, *(e for e in entries if e not in known)])


def other_forms(said: tuple[str, ...], entries: Iterable[Entry]) -> tuple[str, ...]:
    typed = " ".join(said)
    every = dict.fromkeys(form for entry in entries if entry.kind in SUBJECTS for form in forms_of(entry))
    return tuple(form for form in every if form != typed)[:MOST_FORMS]
