"""How recognisers write trade terms: what the lexicon lists as heard, and what small models were measured to write."""

from collections.abc import Iterable

from rapidfuzz import process

from memo2list.hearing.listening import hard_words
from memo2list.vocabulary.entries import Entry


def misheard(entries: Iterable[Entry]) -> dict[str, list[str]]:
    """A term → the ways it is written when misheard."""
    out: dict[str, list[str]] = {}
    for entry in entries:
        for heard in entry.sounds:
            said, _, _ = process.extractOne(heard, (entry.name, *entry.forms, *entry.us, *entry.uk))
            out.setdefault(said, []).append(heard)
    for word in hard_words().values():
        if word.instead:
            out.setdefault(word.term, []).extend(word.instead)
    return {term: list(dict.fromkeys(forms)) for term, forms in sorted(out.items())}
