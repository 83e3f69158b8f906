"""The vocabulary as reading uses it: `load_lexicon()` once, then `find` and `cues` for every passage."""

import gc
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

from memo2list.errors import InputError, Problem
from memo2list.vocabulary import cache as cache_files
from memo2list.vocabulary.compiled import DESCRIPTION, DOUBTFUL, SOUND, compile_cues, compile_entries
from memo2list.vocabulary.context import Context
from memo2list.vocabulary.entries import CautionRule, CuePhrase, Entry, EntryKind, Match
from memo2list.vocabulary.finding import Finder, Hit, Pieces
from memo2list.vocabulary.near_misses import NearMisses
from memo2list.vocabulary.packs import Contents, own_folder, pack_folders, read_pack, shipped_folder
from memo2list.vocabulary.tokens import Tokens, split_form, tokenise

CUE_FIELDS = tuple(f.name for f in fields(CuePhrase))
CAUTION_FIELDS = tuple(f.name for f in fields(CautionRule))
SCORES = {"exact": 1.0, "variant": 0.98, DESCRIPTION: 0.9, DOUBTFUL: 0.9, SOUND: 0.75, "fuzzy": 0.7}


class Lexicon:
    """All packs together; implements `entries.Matcher`."""

    def __init__(self, content: dict[str, Any], problems: tuple[Problem, ...] = ()):
        self.entries: tuple[Entry, ...] = tuple(cache_files.unpack_entry(row) for row in content["entries"])
        self.cue_phrases: tuple[CuePhrase, ...] = tuple(CuePhrase(*row) for row in content["cues"])
        self.cautions: tuple[CautionRule, ...] = tuple(
            CautionRule(*cache_files.unpack_values(row)) for row in content["cautions"]
        )
        self.problems = problems
        self._by_name = {(e.kind, e.name): e for e in self.entries}
        self._forms = Finder(content["forms"], content["groups"])
        self._cues = Finder(content["cue_forms"], content["groups"])
        self._context = Context(self.entries)
        self._near_misses = NearMisses(self.entries, content["groups"].get("everyday", ()), self._forms.is_word)
        self._last: tuple[Tokens, list[Hit]] | None = None

    def entry(self, kind: EntryKind, name: str) -> Entry | None:
        """The entry of that kind and name, or None."""
        return self._by_name.get((kind, name.lower()))

    def of_kind(self, kind: EntryKind) -> tuple[Entry, ...]:
        return tuple(e for e in self.entries if e.kind == kind)

    def caution(self, name: str) -> CautionRule | None:
        return next((rule for rule in self.cautions if rule.name == name), None)

    def knows_word(self, word: str) -> bool:
        """Whether any form begins with this word."""
        return self._forms.begins(word.lower())

    def _hits(self, tokens: Tokens) -> list[Hit]:
        """Form hits; those of the last passage are kept, since `find` and `cues` are asked about the same words in turn."""
        if self._last is None or self._last[0] != tokens:
            self._last = (tokens, self._forms.hits(tokens))
        return self._last[1]

    def forms_of(self, entry: Entry) -> list[tuple[str, str]]:
        """Every wording an entry is found by, with how; inflections included, descriptions as they are written."""
        number = self.entries.index(entry)
        derived = [(" ".join(tokens), how) for tokens, n, how in self._forms.all_forms() if n == number]
        return derived + [(said, DESCRIPTION) for said in entry.said]

    def find(self, words: Sequence[str], probabilities: Sequence[float] | None = None) -> list[Match]:
        """All matches in the words of a passage; see `entries.Matcher.find`."""
        tokens = tokenise(words)
        hits = self._context.accepted(self._hits(tokens), tokens)
        hits += self._misheard(hits, tokens, probabilities)
        kept = _without_covered(hits)
        elements = [h for h in kept if self.entries[h.number].kind == "element"]
        return _ordered(_to_match(_leaving_elements(h, elements, self.entries), tokens, self.entries[h.number]) for h in kept)

    def _misheard(self, hits: list[Hit], tokens: Tokens, probabilities: Sequence[float] | None) -> list[Hit]:
        """Near misses whose trade is being talked about in this passage."""
        taken = {n for h in hits if self.entries[h.number].kind != "place" for n in range(h.start, h.stop)}
        offers = self._near_misses.offers(tokens, probabilities, taken)
        return [h for h in offers if self._context.supports(h, hits, tokens)] if offers else []

    def cues(self, words: Sequence[str]) -> list[tuple[int, int, CuePhrase]]:
        """Cues as (first word, word after, phrase).

        A cue inside a longer cue gives way to it, false ones hide what they cover, and a cue that is part of a
        problem's own form ("doesn't latch") is none.
        """
        tokens = tokenise(words)
        hits = sorted(self._cues.hits(tokens), key=lambda h: (h.start, -h.stop))
        problems = [h for h in self._hits(tokens) if self.entries[h.number].kind == "problem" and h.how != SOUND]
        kept = [h for h in hits if not any(_inside(h, other) for other in (*hits, *problems))]
        found = [(tokens.word[h.start], tokens.word[h.stop - 1] + 1, self.cue_phrases[h.number]) for h in kept]
        return list(dict.fromkeys(cue for cue in found if not cue[2].false))


def _inside(hit: Hit, other: Hit) -> bool:
    return other.start <= hit.start and hit.stop <= other.stop and (other.stop - other.start) > (hit.stop - hit.start)


def _without_covered(hits: list[Hit]) -> list[Hit]:
    """An entry matched twice over the same words is matched once, by its longest form."""
    by_entry: dict[int, list[Hit]] = {}
    for hit in hits:
        by_entry.setdefault(hit.number, []).append(hit)
    return [h for group in by_entry.values() for h in group if len(group) == 1 or not any(_covers(o, h) for o in group)]


def _covers(other: Hit, hit: Hit) -> bool:
    if other is hit or not (other.start <= hit.start and hit.stop <= other.stop):
        return False
    same = (other.start, other.stop) == (hit.start, hit.stop)
    return not same or SCORES[other.how] > SCORES[hit.how]


def _leaving_elements(hit: Hit, elements: Sequence[Hit], entries: Sequence[Entry]) -> Hit:
    """A problem told with its element ("the sink is clogged") leaves the element's words to the element.

    Words that are in the problem's own name are its own ("stair-step crack").
    """
    entry = entries[hit.number]
    if entry.kind != "problem" or hit.stop - hit.start < 2:
        return hit
    own = set(split_form(entry.name)) if not entry.element else set()
    pieces = hit.inner or ((hit.start, hit.stop),)
    for element in elements:
        inside = hit.start <= element.start and element.stop <= hit.stop and element.stop - element.start < hit.stop - hit.start
        if inside and own.isdisjoint(split_form(entries[element.number].name)):
            pieces = tuple(p for piece in pieces for p in _cut(piece, element))
    return replace(hit, inner=pieces) if pieces and pieces != ((hit.start, hit.stop),) else hit


def _cut(piece: tuple[int, int], element: Hit) -> list[tuple[int, int]]:
    """What is left of a piece without the element's tokens."""
    if element.stop <= piece[0] or piece[1] <= element.start:
        return [piece]
    return [p for p in ((piece[0], element.start), (element.stop, piece[1])) if p[0] < p[1]]


def _to_match(hit: Hit, tokens: Tokens, entry: Entry) -> Match:
    how = "variant" if hit.how == DOUBTFUL else hit.how
    inner: Pieces = ()
    if hit.inner and hit.stop - hit.start > sum(b - a for a, b in hit.inner):
        inner = tuple((tokens.word[a], tokens.word[b - 1] + 1) for a, b in hit.inner)
    start, stop = tokens.word[hit.start], tokens.word[hit.stop - 1] + 1
    return Match(start, stop, entry, how, hit.form, hit.score or SCORES[hit.how], inner)  # type: ignore[arg-type]


def _ordered(matches: Iterable[Match]) -> list[Match]:
    best: dict[tuple[int, int, str, str], Match] = {}
    for match in matches:
        key = (match.start, match.stop, match.entry.kind, match.entry.name)
        if key not in best or best[key].score < match.score:
            best[key] = match
    return sorted(best.values(), key=lambda m: (m.start, -m.stop, -m.score))


def read_lexicon(folders: Sequence[Path]) -> Contents:
    """What the packs in `folders` say together; later folders override entries of the same kind and name."""
    contents = Contents()
    for folder in folders:
        contents += read_pack(folder)
    entries = {(e.kind, e.name): e for e in contents.entries}
    return replace(contents, entries=tuple(entries.values()), groups=tuple(dict(contents.groups).items()))


def chosen_folders(packs: Sequence[str] | None, user_folder: Path | None) -> list[Path]:
    """Folders of the packs asked for (all by default), the user's own after the shipped ones."""
    shipped = pack_folders(shipped_folder())
    own = pack_folders(user_folder if user_folder is not None else own_folder())
    if packs is None:
        return shipped + own
    known = {f.name for f in shipped + own}
    for name in packs:
        if name not in known:
            raise InputError(name, "is no pack of the lexicon.", f"The packs are {', '.join(sorted(known))}.")
    return [f for f in shipped + own if f.name == "common" or f.name in packs]


def load_lexicon(packs: Sequence[str] | None = None, user_folder: Path | None = None, cache: Path | None = None) -> Lexicon:
    """The lexicon ready for use.

    `packs`: names of trade packs, all by default; `common` is always with them. `user_folder`: holds the user's own
    packs (`packs.own_folder()` by default), whose entries override shipped ones of the same kind and name. `cache`:
    folder for the compiled form, the platform's cache folder by default. Faults in packs do not stop it; they are in
    `Lexicon.problems`.
    Raises `InputError` for a pack that does not exist.
    """
    folders = chosen_folders(packs, user_folder)
    place = cache if cache is not None else cache_files.default_folder()
    key = cache_files.content_key(folders)
    with without_collection():
        content = cache_files.load(place, key)
        if content is None:
            content = compile_content(read_lexicon(folders))
            cache_files.keep(place, key, content)
        return Lexicon(content, tuple(Problem(*row) for row in content["problems"]))


@contextmanager
def without_collection() -> Iterator[None]:
    """Loading makes many small objects and no garbage; looking for garbage meanwhile takes a third of its time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def compile_content(contents: Contents) -> dict[str, Any]:
    """Everything `Lexicon` needs, as plain lists and dicts."""
    groups = dict(contents.groups)
    return {
        "entries": [cache_files.pack_entry(e) for e in contents.entries],
        "cues": [cache_files.pack_record(c, CUE_FIELDS) for c in contents.cues],
        "cautions": [cache_files.pack_record(c, CAUTION_FIELDS) for c in contents.cautions],
        "groups": groups,
        "problems": [[p.where, p.what, p.remedy] for p in contents.problems],
        "forms": cache_files.pack_compiled(compile_entries(contents.entries, groups)),
        "cue_forms": cache_files.pack_compiled(compile_cues(contents.cues, groups)),
    }
