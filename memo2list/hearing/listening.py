"""The words to listen for: forms of the lexicon, findable by how they sound."""

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from memo2list.hearing.sounds import distance, sound_key

LONGEST = 3  # words in a term that is listened for
FOLD = str.maketrans("EIOUYDZVBGXJN", "AAAAATSFPKCCM")
NOT_A_WORD = re.compile(r"[^a-z0-9']+")


@dataclass(frozen=True, slots=True)
class Term:
    """One form of the lexicon, or one of the job's own words, and its sound."""

    text: str
    key: str
    name: str = ""  # how a word of the job's own is written: "Larkfield"

    @property
    def written(self) -> str:
        return self.name or self.text


@dataclass(frozen=True, slots=True)
class Near:
    """A term that sounds like some words; `gap` is 0 for the same sound and grows with what differs."""

    term: Term
    gap: float
    measured: bool = False  # the recogniser was measured or is known to write the term like this
    usual: float = 0.0  # how much likelier it makes the talk than the words as heard, natural logarithm
    is_term: bool = True  # else a word that is only usual in its place


class Terms:
    """All terms of a lexicon. `near` answers: which of them may these words have been?"""

    def __init__(
        self,
        texts: Iterable[str],
        misheard: Iterable[tuple[str, str]] = (),
        known: Iterable[str] = (),
        pack_of: Mapping[str, str] | None = None,
        names: Mapping[str, str] | None = None,
        keys: Mapping[str, str] | None = None,
    ):
        """`misheard`: pairs (as the recogniser writes it, term that was said); `known` terms need no help.

        `pack_of` says which trade pack a term belongs to, `names` how words of the job's own are written (by the word
        in plain form); `keys` are sounds of terms that are known already.
        """
        self.pack_of = dict(pack_of or {})
        names = names or {}
        self.texts = frozenset(plain(t) for t in texts) | frozenset(names)
        self.known = self.texts | frozenset(known)
        self._misheard: dict[str, list[str]] = defaultdict(list)
        for heard, said in misheard:
            self._misheard[plain(heard)].append(plain(said))
        self._by_length: dict[int, tuple[list[Term], list[str]]] = defaultdict(lambda: ([], []))
        for text in sorted(self.texts):
            key = (keys or {}).get(text) or key_of(text.split())
            if len(key) >= 2:
                self._by_length[len(key)][0].append(Term(text, key, names.get(text, "")))
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
