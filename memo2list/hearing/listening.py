"""The words to listen for: forms of the lexicon, findable by how they sound."""

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from memo2list.hearing.sounds import distance, sound_key
from memo2list.vocabulary.entries import Entry

LONGEST = 3  # words in a term that is listened for
FOLD = str.maketrans("EIOUYDZVBGXJN", "AAAAATSFPKCCM")
NOT_A_WORD = re.compile(r"[^a-z0-9']+")


@dataclass(frozen=True, slots=True)
class Term:
    """One form of the lexicon and its sound."""

    text: str
    key: str


@dataclass(frozen=True, slots=True)
class Near:
    """A term that sounds like some words; `gap` is 0 for the same sound and grows with what differs."""

    term: Term
    gap: float
    measured: bool = False  # the recogniser was measured or is known to write the term like this


class Terms:
    """All terms of a lexicon. `near` answers: which of them may these words have been?"""

    def __init__(
        self,
        texts: Iterable[str],
        misheard: Iterable[tuple[str, str]] = (),
        known: Iterable[str] = (),
        pack_of: Mapping[str, str] | None = None,
    ):
        """`misheard`: pairs (as the recogniser writes it, term that was said); `known` terms need no help.

        `pack_of` says which trade pack a term belongs to.
        """
        self.pack_of = dict(pack_of or {})
        self.texts = frozenset(plain(t) for t in texts)
        self.known = self.texts | frozenset(known)
        self._misheard: dict[str, list[str]] = defaultdict(list)
        for heard, said in misheard:
            self._misheard[plain(heard)].append(plain(said))
        self._by_length: dict[int, tuple[list[Term], list[str]]] = defaultdict(lambda: ([], []))
        for text in sorted(self.texts):
            key = key_of(text.split())
            if len(key) >= 2:
                self._by_length[len(key)][0].append(Term(text, key))
                self._by_length[len(key)][1].append(folded(key))

    def __contains__(self, words: str) -> bool:
        return plain(words) in self.known

    def near(self, words: Sequence[str], most: int = 3) -> list[Near]:
        """Terms that sound like `words` said in a row, the nearest first; the words' own term is left out."""
        own = plain(" ".join(words))
        known = [Near(Term(t, key_of(t.split())), 0.3, True) for t in self._misheard.get(own, ())]
        key = key_of(own.split())
        if len(key) < 2:
            return known
        found = []
        for length in range(max(2, len(key) - 2), len(key) + 3):
            terms = self._by_length.get(length)
            if terms:
                found += self._close(own, key, terms)
        return sorted([*known, *found], key=lambda n: (n.gap, n.term.text))[:most]

    def _close(self, own: str, key: str, terms: tuple[list[Term], list[str]]) -> list[Near]:
        from rapidfuzz.distance import Levenshtein
        from rapidfuzz.process import extract

        most, joined = allowed_gap(key), own.replace(" ", "")
        rough = extract(folded(key), terms[1], scorer=Levenshtein.distance, score_cutoff=max(1, round(most)), limit=8)
        closest = ((terms[0][at], distance(key, terms[0][at].key, most)) for _, _, at in rough)
        return [Near(t, g) for t, g in closest if g <= most and t.text.replace(" ", "") != joined]


def folded(key: str) -> str:
    """The key with like sounds made one, for a quick first look.

    >>> folded("SOFIT") == folded("ZAVED")
    True
    """
    return key.translate(FOLD)


def allowed_gap(key: str) -> float:
    """How far a sound may be off: a fifth of the word, and very little in a short one."""
    return 0.3 if len(key) <= 2 else min(1.6, 0.1 + 0.16 * len(key))


def plain(text: str) -> str:
    """Lower case without punctuation or possessive: how heard words and terms are compared.

    >>> plain("Soffit's, (left)")
    'soffit left'
    """
    return " ".join(w.removesuffix("'s").strip("'") for w in NOT_A_WORD.sub(" ", text.lower().replace("’", "'")).split())


def key_of(words: Sequence[str]) -> str:
    key = "".join(sound_key(w) for w in words)
    return re.sub(r"(.)\1+", r"\1", key)


@dataclass(frozen=True, slots=True)
class HardWord:
    """A term that small models were heard to get wrong; see `tests/benchmarks/hard_words.py`."""

    term: str
    said: int
    missed: int
    instead: tuple[str, ...]  # what they wrote


@lru_cache(maxsize=1)
def hard_words() -> dict[str, HardWord]:
    """The measured list that ships with the package, by term; empty where it is missing."""
    path = Path(__file__).with_name("hard_words.tsv")
    if not path.is_file():
        return {}
    rows = (line.split("\t") for line in path.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#"))
    return {r[0]: HardWord(r[0], int(r[1]), int(r[2]), tuple(i for i in r[3].split("|") if i)) for r in rows}


def terms_of(entries: Iterable[Entry], is_common: Callable[[str], bool]) -> Terms:
    """The terms of a lexicon worth listening for: rare words, and everyday ones that were measured to be misheard."""
    from memo2list.vocabulary.compiled import derived_forms

    hard, all_texts, misheard = hard_words(), set[str](), []
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
            all_texts.add(text)
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
    misheard += [(instead, word.term) for word in hard.values() for instead in word.instead if word.term in all_texts]
    return Terms(texts.values(), misheard, all_texts, pack_of)


def _nearest(heard: str, said: dict[str, str]) -> str:
    """Which of an entry's forms (by sound) was said where the recogniser writes `heard`."""
    from rapidfuzz.distance import Levenshtein

    key = folded(key_of(plain(heard).split()))
    return said[min(said, key=lambda form: Levenshtein.distance(key, folded(form)))]
