"""Which terms of a lexicon are worth listening for, and the job's own words beside them.

Choosing them and spelling out their sounds takes half a second, so the result is kept beside the compiled lexicon.
"""

import hashlib
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from memo2list.hearing.listening import LONGEST, HardWord, Terms, folded, hard_words, key_of, plain
from memo2list.hearing.recogniser import Recogniser
from memo2list.vocabulary import cache as cache_files
from memo2list.vocabulary.entries import Entry

SHORTEST_NAME = 4  # letters; shorter words of the job's own are alike by chance


@dataclass(frozen=True, slots=True)
class TermTable:
    """Everything `Terms` needs of a lexicon; fields as there."""

    sounds: dict[str, str]  # of the terms worth listening for: text → sound key
    misheard: list[tuple[str, str]] = field(default_factory=list)
    pack_of: dict[str, str] = field(default_factory=dict)  # of every form of the lexicon


def terms_for(
    entries: Sequence[Entry], recogniser: Recogniser, own_words: Sequence[str] = (), cache: Path | None = None
) -> Terms:
    """The terms to listen for. `own_words` are the job's; rare ones among them are listened for as well.

    `cache` is the folder the table is kept in, by default one beside the compiled lexicon.
    """
    table = _table_of(entries, recogniser, cache or cache_files.default_folder().parent / "terms")
    names = names_in(own_words, recogniser.is_common, table.pack_of)
    return Terms(table.sounds, table.misheard, table.pack_of, table.pack_of, names, table.sounds)


def names_in(own_words: Iterable[str], is_common: Callable[[str], bool], known: Iterable[str] = ()) -> dict[str, str]:
    """The rare words of the job's own, plain → as written; words the lexicon has need no help.

    >>> names_in(["4 Mill Lane, Larkfield"], lambda word: word in ("mill", "lane"))
    {'larkfield': 'Larkfield'}
    """
    written = {plain(w): w.strip(".,;:()\"'") for text in own_words for w in text.split()}
    rare = {p: w for p, w in written.items() if len(p) >= SHORTEST_NAME and p.isalpha() and not is_common(p)}
    return {p: rare[p] for p in sorted(rare.keys() - set(known))}


def _table_of(entries: Sequence[Entry], recogniser: Recogniser, folder: Path) -> TermTable:
    if not recogniser.spelling:
        return table_of(entries, recogniser.is_common)
    key = _key(entries, recogniser.spelling)
    kept = cache_files.load(folder, key)
    if kept is None:
        table = table_of(entries, recogniser.is_common)
        cache_files.keep(folder, key, _packed(table))
        return table
    return TermTable(
        dict(kept["sounds"]),
        [(heard, said) for heard, said in kept["misheard"]],
        {text: pack for pack, texts in kept["packs"].items() for text in texts.split("|")},
    )


def _packed(table: TermTable) -> dict[str, Any]:
    packs: dict[str, list[str]] = defaultdict(list)
    for text, pack in table.pack_of.items():
        packs[pack].append(text)
    return {
        "sounds": table.sounds,
        "misheard": table.misheard,
        "packs": {pack: "|".join(texts) for pack, texts in packs.items()},
    }


def _key(entries: Sequence[Entry], spelling: str) -> str:
    """Changes with the lexicon, with what the recogniser knows as one piece, and with the code that makes the table."""
    digest = hashlib.blake2b(spelling.encode(), digest_size=16)
    here = Path(__file__).parent
    inflect = Path(cache_files.__file__).parent
    code = [here / n for n in ("term_table.py", "listening.py", "sounds.py", "hard_words.tsv")]
    for path in (*code, inflect / "compiled.py", inflect / "inflect.py", inflect / "tokens.py"):
        digest.update(path.read_bytes())
    for entry in entries:
        digest.update(repr(entry).encode())
    return digest.hexdigest()


def table_of(entries: Iterable[Entry], is_common: Callable[[str], bool]) -> TermTable:
    """The terms of a lexicon worth listening for: rare words, and everyday ones that were measured to be misheard."""
    from memo2list.vocabulary.compiled import derived_forms

    hard: dict[str, HardWord] = hard_words()
    misheard: list[tuple[str, str]] = []
    pack_of: dict[str, str] = {}
    texts: dict[str, str] = {}  # by spelling without spaces: "rafter tail" and "raftertail" are one term
    for entry in entries:
        sounds_seen: dict[str, str] = {}
        for tokens, how, form in derived_forms(entry):
            text = plain(" ".join(tokens))
            words = text.split()
            closed_up = len(tokens) == 1 and (" " in form or "-" in form)  # "toowide": nobody says it in one word
            if how == "sound-alike" or closed_up or not 1 <= len(words) <= LONGEST:
                continue
            pack_of.setdefault(text, entry.pack)
            sound = key_of(words)
            if sound in sounds_seen or how not in ("exact", "variant") or entry.kind == "place":
                continue  # of spellings that sound the same ("caulk", "calk") the first one listed stands
            sounds_seen[sound] = text
            rare = any(w in hard or (len(w) > 3 and not is_common(w)) for w in words)
            thing = entry.kind in ("element", "material")
            if (rare and (thing or len(words) == 1)) or (thing and len(words) == 1 and how == "exact" and len(text) >= 4):
                texts.setdefault(text.replace(" ", ""), text)
        if sounds_seen:
            misheard += [(sound, _nearest(sound, sounds_seen)) for sound in entry.sounds]
    misheard += [(instead, word.term) for word in hard.values() for instead in word.instead if word.term in pack_of]
    misheard += [(f"{heard}s", f"{said}s") for heard, said in misheard if heard.isalpha() and f"{said}s" in pack_of]
    return TermTable({text: key_of(text.split()) for text in sorted(texts.values())}, misheard, pack_of)


def _nearest(heard: str, said: dict[str, str]) -> str:
    """Which of an entry's forms (by sound) was said where the recogniser writes `heard`."""
    from rapidfuzz.distance import Levenshtein

    key = folded(key_of(plain(heard).split()))
    return said[min(said, key=lambda form: Levenshtein.distance(key, folded(form)))]
