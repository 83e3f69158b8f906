"""Doubtful words are weighed against trade words that sound like them.

First the words of a stretch that sound like a term of the lexicon are found. Then the recogniser is asked,
over the encoding it already has, how likely the sound makes the words as heard and the words with the term in
their place, with the terms named to it beforehand so that a rare word is not at a disadvantage. The term takes the
place only on that evidence, never because it would fit; and everyday words give way less easily than words that
are none.
"""

from collections.abc import Container, Sequence
from dataclasses import dataclass, replace

from memo2list.hearing.doubtful import SHORT_KEY, Region, regions, with_usual
from memo2list.hearing.listening import Near, Terms, plain
from memo2list.hearing.recogniser import Heard, Recogniser
from memo2list.hearing.setting import NOWHERE, Setting
from memo2list.hearing.site_talk import SiteTalk
from memo2list.hearing.transcripts import Cue, spread_words
from memo2list.records import Flag, StretchFlag, Word, WordRange

MOST_NAMED = 12  # terms named to the recogniser at a time
ENOUGH = -1.5  # log likelihood ratio at which a term wins over words that are no words
ENOUGH_FOR_MEASURED = 1.0  # over everyday words that are written for it (hard_words.tsv, or `sounds` in the lexicon)
ENOUGH_FOR_COMMON = 2.5  # over other everyday words
CHANCE = 1.5  # more for a likeness that is easily chance
ENOUGH_FOR_USUAL = 0.5  # for an everyday word that is usual in its place, over any words
WEIGHT_OF_USUAL, MOST_OF_USUAL = 0.5, 8.0  # of what usual talk says for a term or word, or against it
NARROW = -6.0  # a term that lost by less than this lets the next one try
WORTH_A_FLAG = -2.0  # above this both readings are kept


@dataclass(frozen=True, slots=True)
class Evidence:
    """What speaks for a term against the words as heard."""

    words: WordRange  # in the hearing
    heard: str
    term: str
    ratio: float  # log likelihood of the term over the words, both named beforehand; includes the word after them
    enough: float  # what the ratio must reach
    usual: bool = False  # a word of usual talk, no term

    @property
    def short_by(self) -> float:
        """How far the ratio stays below what it must reach; above zero it is over it."""
        return self.ratio - self.enough

    @property
    def wins(self) -> bool:
        return self.short_by >= 0


@dataclass(frozen=True, slots=True)
class Changed:
    """A hearing with terms put in on evidence, and what was changed or left in doubt."""

    heard: Heard
    doubts: tuple[StretchFlag, ...]  # word numbers count from the first word of this hearing


def listen_again(
    heard: Heard, recogniser: Recogniser, terms: Terms, setting: Setting = NOWHERE, talk: SiteTalk | None = None
) -> Changed:
    """The second hearing of one stretch. Without a word that sounds like a term, or like a usual one, it costs nothing."""
    talk = None if setting.off_topic else talk
    found = regions(heard.words, terms, recogniser.is_common, setting, talk)
    if talk:
        found = with_usual(found, heard.words, talk)
    evidence = weigh(heard, found, recogniser, setting, terms.known) if found else []
    return put_in(heard, evidence)


def weigh(
    heard: Heard, found: Sequence[Region], recogniser: Recogniser, setting: Setting = NOWHERE, known: Container[str] = ()
) -> list[Evidence]:
    """The evidence for the nearest term of each region, and for the second nearest where the first lost narrowly."""
    first = _weighed(heard, found, 0, recogniser, setting, known)
    narrow = [r for r in found if len(r.near) > 1 and r.words in first and NARROW < first[r.words].short_by <= 0]
    second = _weighed(heard, narrow, 1, recogniser, setting, known) if narrow else {}
    return [max(first[words], second.get(words, first[words]), key=lambda e: e.ratio) for words in first]


def _weighed(
    heard: Heard, found: Sequence[Region], rank: int, recogniser: Recogniser, setting: Setting, known: Container[str]
) -> dict[WordRange, Evidence]:
    words = [w.text for w in heard.words]
    reading, places = _reading(words, found, rank)
    named = list(dict.fromkeys(term for region, term, _ in places if region.near[rank].is_term))[:MOST_NAMED]
    last, last_place = max(r.words.stop for r, _, _ in places), max(p.stop for _, _, p in places)
    # what is said later changes nothing: likelihoods run forward
    before, after = recogniser.likelihoods(heard, [words[: last + 1], reading[: last_place + 1]], named)
    evidence = {}
    for region, term, place in places:
        first, stop = region.words.first, region.words.stop
        ratio = sum(after[place.first : place.stop + 1]) - sum(before[first : stop + 1])
        near = region.near[rank]
        enough = _enough(words[first:stop], near, recogniser, known) - (setting.favours(near.term.text) if near.is_term else 0.0)
        evidence[region.words] = Evidence(region.words, " ".join(words[first:stop]), term, ratio, enough, not near.is_term)
    return evidence


def _enough(words: Sequence[str], near: Near, recogniser: Recogniser, known: Container[str] = ()) -> float:
    """What a term must show against these words.

    More against everyday words and other terms than against what is neither, and more again for short terms and for several
    words taken as one: they are alike by chance more often. Measured confusions are spared that. Less or more for what is usual.
    """
    most = MOST_OF_USUAL if near.measured else MOST_OF_USUAL / 2
    usual = WEIGHT_OF_USUAL * max(-most, min(most, near.usual))
    if not near.is_term:
        return ENOUGH_FOR_USUAL - WEIGHT_OF_USUAL * near.usual
    texts = [t for w in words for t in plain(w).split()]
    everyday = all(recogniser.is_common(t) for t in texts)
    if near.measured:
        return (ENOUGH_FOR_MEASURED if everyday else ENOUGH) - usual
    least = ENOUGH_FOR_COMMON if everyday or plain(" ".join(words)) in known else ENOUGH
    return least + CHANCE * (len(near.term.key) <= SHORT_KEY) + CHANCE * (len(texts) > 1) - usual


def _reading(words: Sequence[str], found: Sequence[Region], rank: int) -> tuple[list[str], list[tuple[Region, str, WordRange]]]:
    """The words with the `rank`-th nearest term of every region in its place, and where the terms lie in them."""
    texts: list[str] = []
    places, at = [], 0
    for region in found:
        if len(region.near) <= rank:
            continue
        texts += words[at : region.words.first]
        term = region.near[rank].term.written
        pieces = dressed(term, words[region.words.first], words[region.words.stop - 1]).split()
        places.append((region, term, WordRange(len(texts), len(texts) + len(pieces))))
        texts += pieces
        at = region.words.stop
    return texts + list(words[at:]), places


def dressed(term: str, first: str, last: str) -> str:
    """The term with the capital and the punctuation of the words it stands for.

    >>> dressed("soffit", "Saw", "fit,")
    'Soffit,'
    """
    tail = last[len(last.rstrip(".,?!;:")) :]
    return (term[:1].upper() + term[1:] if first[:1].isupper() else term) + tail


def put_in(heard: Heard, evidence: Sequence[Evidence]) -> Changed:
    """Terms that won take the place of the words; near misses leave a flag with both readings."""
    words: list[Word] = []
    doubts: list[StretchFlag] = []
    at = 0
    for one in sorted(evidence, key=lambda e: e.words):
        if not one.wins and (one.usual or one.ratio < WORTH_A_FLAG):
            continue
        words += heard.words[at : one.words.first]
        old = heard.words[one.words.first : one.words.stop]
        new = _spoken(one, old) if one.wins else list(old)
        own = WordRange(len(words), len(words) + len(new))
        words += new
        if not _same_letters(one):
            doubts.append(StretchFlag(own, _flag(one), one.heard if one.wins else one.term))
        at = one.words.stop
    return Changed(replace(heard, words=(*words, *heard.words[at:])), tuple(doubts))


def _same_letters(one: Evidence) -> bool:
    """ "slab's" for "slabs": nothing to look at twice."""
    return _letters(one.heard) == _letters(one.term)


def _letters(text: str) -> str:
    return "".join(c for c in text.lower() if c.isalnum())


def _flag(one: Evidence) -> Flag:
    if one.wins:
        return Flag("heard-twice", f'heard "{one.heard}" at first, then "{one.term}"')
    return Flag("could-be", f'heard "{one.heard}", which could be "{one.term}"')


def _spoken(one: Evidence, old: Sequence[Word]) -> list[Word]:
    """The term's words over the time of the old ones, as probable as the old ones were."""
    span = old[0].span.join(old[-1].span)
    words = spread_words(Cue(span, dressed(one.term, old[0].text, old[-1].text)))
    probability = sum(w.probability for w in old) / len(old)
    return [replace(w, probability=round(probability, 4)) for w in words]
