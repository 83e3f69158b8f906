"""Learning from corrections: "when I say … I mean …" is written to a pack of the user's own and read from then on.

An entry of the user's own stands in place of the shipped one of the same name, so what is written is the whole entry
with the new words among its forms.
"""

import re
from dataclasses import dataclass, fields
from pathlib import Path
from typing import get_args

from memo2list.errors import InputError
from memo2list.records import Item
from memo2list.vocabulary.adding import entry_text
from memo2list.vocabulary.entries import Entry, EntryKind
from memo2list.vocabulary.lexicon import Lexicon
from memo2list.vocabulary.packs import read_file

PACK = "learned"
LONGEST = 60
LEFT_OUT = ("name", "kind", "pack", "source")


@dataclass(frozen=True, slots=True)
class Remembered:
    said: str
    meant: str
    file: Path


@dataclass(frozen=True, slots=True)
class Offer:
    """A word that might be worth remembering: said like this, meant like that; either may be empty."""

    kind: str
    said: str
    meant: str


def remember(own: Path, lexicon: Lexicon, kind: str, said: str, meant: str) -> Remembered:
    """Writes that `said` means the entry `meant` of that kind, which is made if the lexicon has none.

    Raises InputError for words that cannot be a form.
    """
    if kind not in get_args(EntryKind):
        raise InputError(repr(kind[:20]), "is no kind of word.", f"Kinds are {', '.join(get_args(EntryKind))}.")
    said, meant = _plain(said), _plain(meant)
    if not said or not meant or said == meant:
        raise InputError("the words", "are missing or the same.", "Write what you say, and the trade word you mean.")
    if len(said.split()) == 1 and len(said) < 3:
        raise InputError(repr(said), "is too short to be told from other talk.", "Write a longer word, or two words.")
    entry = lexicon.entry(kind, meant) or Entry(meant, kind, PACK)  # type: ignore[arg-type]
    path = own / PACK / f"{kind}s.toml"
    held = {e.name: e for e in read_file(path, PACK).entries} if path.exists() else {}
    held[meant] = with_form(held.get(meant, entry), said)
    write_entries(path, tuple(held.values()))
    return Remembered(said, meant, path)


def with_form(entry: Entry, said: str) -> Entry:
    from dataclasses import replace

    return entry if said in entry.forms else replace(entry, forms=(*entry.forms, said))


def write_entries(path: Path, entries: tuple[Entry, ...]) -> None:
    """The whole file anew, written beside it first."""
    path.parent.mkdir(parents=True, exist_ok=True)
    names = [f.name for f in fields(Entry) if f.name not in LEFT_OUT]
    tables = [entry_text(e.name, {name: getattr(e, name) for name in names}) for e in entries]
    head = "# Words learned on the review page; change or delete them with any editor.\n\n"
    part = path.with_suffix(".part")
    part.write_text(head + "\n\n".join(tables) + "\n", encoding="utf-8")
    part.replace(path)


def offer_of(item: Item, lexicon: Lexicon) -> Offer:
    """What the item suggests: words taken for something by their sound, or an element the lexicon has no word for."""
    for flag in item.flags:
        if flag.code in ("sounds-like", "heard-twice"):
            quoted = re.search(r'"([^"]+)"', flag.reason)
            return Offer("element", quoted.group(1).lower() if quoted else "", item.element)
    said = next((h for h in item.heard if h and h.lower() != item.element), "")
    return Offer("element", said.lower(), item.element if lexicon.entry("element", item.element) else "")


def _plain(text: str) -> str:
    """Lower case, single spaces, no signs that mean something in patterns."""
    return " ".join(re.sub(r"[^\w\s'&/-]", " ", text.lower()).split())[:LONGEST].strip()
