"""Doubtful words are weighed against trade words that sound like them.

First the words of a stretch that sound like a term of the lexicon are found. Then the recogniser is asked,
over the encoding it already has, how likely the sound makes the words as heard and the words with the term in
their place, with the terms named to it beforehand so that a rare word is not at a disadvantage. The term takes the
place only on that evidence, never because it would fit; and everyday words give way less easily than words that
are none.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import takewhile

from memo2list.hearing.listening import LONGEST, Near, Terms, plain
from memo2list.hearing.recogniser import Heard, Recogniser
from memo2list.hearing.transcripts import Cue, spread_words
from memo2list.records import Flag, StretchFlag, Word, WordRange
from memo2list.vocabulary.inflect import respelled

MOST_REGIONS = 5  # in a stretch of 28 s: wrong ones spoil the context of right ones
APART = 2  # words between regions
COMMON_GAP = 0.3  # everyday words are questioned only for terms that sound nearly the same
MOST_NAMED = 12  # terms named to the recogniser at a time
ENOUGH = -1.5  # log likelihood ratio at which a term wins over words that are no words
ENOUGH_FOR_MEASURED = 1.0  # over everyday words that are written for it (hard_words.tsv, or `sounds` in the lexicon)
ENOUGH_FOR_COMMON = 2.5  # over other everyday words
CHANCE = 1.5  # more for a likeness that is easily chance
SHORT_KEY = 4  # sounds
NARROW = -6.0  # a term that lost by less than this lets the next one try
WORTH_A_FLAG = -2.0  # above this both readings are kept
SURE = 0.97  # an everyday word heard surer than this is not questioned
SURE_TOGETHER = 0.8  # nor are several
COMMON = frozenset(
    """a about all am an and any are as at be because been but by can could did do does down for from get go going got had
    has have he her here him his how i if in into is it its it's i'd i'll i'm i've just know like me my no not now of off oh okay
    on one or our out over really right see she so some that that's the their them then there there's these they they're
    thing this those to too two uh um up us was we we'll we're well were what when where which who will with would yeah
    yes you you're your""".split()
)


@dataclass(frozen=True, slots=True)
class Region:
    """Words of one hearing and the terms they may have been, the nearest first."""

    words: WordRange
    near: tuple[Near, ...]


@dataclass(frozen=True, slots=True)
class Evidence:
    """What speaks for a term against the words as heard."""

    words: WordRange  # in the hearing
    heard: str
    term: str
    ratio: float  # log likelihood of the term over the words, both named beforehand; includes the word after them
    enough: float  # what the ratio must reach

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


def listen_again(heard: Heard, recogniser: Recogniser, terms: Terms) -> Changed:
    """The second hearing of one stretch. Without a word that sounds like a term it costs nothing."""
    found = regions(heard.words, terms, recogniser.is_common)
    evidence = weigh(heard, found, recogniser) if found else []
    return put_in(heard, evidence)


def weigh(heard: Heard, found: Sequence[Region], recogniser: Recogniser) -> list[Evidence]:
    """The evidence for the nearest term of each region, and for the second nearest where the first lost narrowly."""
    first = _weighed(heard, found, 0, recogniser)
    narrow = [r for r in found if len(r.near) > 1 and r.words in first and NARROW < first[r.words].short_by <= 0]
    second = _weighed(heard, narrow, 1, recogniser) if narrow else {}
    return [max(first[words], second.get(words, first[words]), key=lambda e: e.ratio) for words in first]


def _weighed(heard: Heard, found: Sequence[Region], rank: int, recogniser: Recogniser) -> dict[WordRange, Evidence]:
    words = [w.text for w in heard.words]
    reading, places = _reading(words, found, rank)
    named = list(dict.fromkeys(term for _, term, _ in places))[:MOST_NAMED]
    before, after = recogniser.likelihoods(heard, [words, reading], named)
    evidence = {}
    for region, term, place in places:
        first, stop = region.words.first, region.words.stop
        ratio = sum(after[place.first : place.stop + 1]) - sum(before[first : stop + 1])
        enough = _enough(words[first:stop], region.near[rank], recogniser)
        evidence[region.words] = Evidence(region.words, " ".join(words[first:stop]), term, ratio, enough)
    return evidence


def _enough(words: Sequence[str], near: Near, recogniser: Recogniser) -> float:
    """What a term must show against these words.

    More against everyday words than against what is no word, and more again for short terms and for several words
    taken as one: they are alike by chance more often. Measured confusions are spared that.
    """
    texts = [t for w in words for t in plain(w).split()]
    everyday = all(recogniser.is_common(t) for t in texts)
    if near.measured:
        return ENOUGH_FOR_MEASURED if everyday else ENOUGH
    least = ENOUGH_FOR_COMMON if everyday else ENOUGH
    return least + CHANCE * (len(near.term.key) <= SHORT_KEY) + CHANCE * (len(texts) > 1)


def _reading(words: Sequence[str], found: Sequence[Region], rank: int) -> tuple[list[str], list[tuple[Region, str, WordRange]]]:
    """The words with the `rank`-th nearest term of every region in its place, and where the terms lie in them."""
    texts: list[str] = []
    places, at = [], 0
    for region in found:
        if len(region.near) <= rank:
            continue
        texts += words[at : region.words.first]
        term = region.near[rank].term.text
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
        if one.ratio < WORTH_A_FLAG and not one.wins:
            continue
        words += heard.words[at : one.words.first]
        old = heard.words[one.words.first : one.words.stop]
        new = _spoken(one, old) if one.wins else list(old)
        own = WordRange(len(words), len(words) + len(new))
        words += new
        doubts.append(StretchFlag(own, _flag(one), one.heard if one.wins else one.term))
        at = one.words.stop
    return Changed(replace(heard, words=(*words, *heard.words[at:])), tuple(doubts))


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


def regions(words: Sequence[Word], terms: Terms, is_common: Callable[[str], bool]) -> list[Region]:
    """Stretches of one to three words that sound like a term and are none, at most one for each word, the most telling first."""
    known = _known(words, terms)
    found: list[tuple[float, Region]] = []
    for start in range(len(words)):
        for stop in range(start + 1, min(len(words), start + LONGEST) + 1):
            texts = [plain(w.text) for w in words[start:stop]]
            if not all(texts) or all(t in COMMON for t in texts) or any(known[n] for n in range(start, stop)):
                continue
            if any(" " in t for t in texts):  # "stub-out": a word of two parts is heard well or not at all
                continue
            if stop - start > 1 and any(w.text[-1:] in ".?!" for w in words[start : stop - 1]):
                continue
            doubt = min(w.probability for w in words[start:stop])
            if doubt > (SURE if stop - start == 1 else SURE_TOGETHER) and all(is_common(t) for t in texts):
                continue
            everyday = all(is_common(t) for t in texts)
            near = [n for n in terms.near(texts) if _worth_asking(texts, n, everyday, terms)]
            if near:
                found.append((near[0].gap + doubt + everyday, Region(WordRange(start, stop), tuple(near))))
    chosen: list[Region] = []
    for _, region in sorted(found, key=lambda f: (f[0], f[1].words)):
        wide = WordRange(max(0, region.words.first - APART), region.words.stop + APART)
        if len(chosen) < MOST_REGIONS and not any(wide.overlaps(c.words) for c in chosen):
            chosen.append(region)
    return sorted(chosen, key=lambda r: r.words)


def _worth_asking(texts: Sequence[str], near: Near, everyday: bool, terms: Terms) -> bool:
    """Other endings and other spellings of the words heard are no reason to question them."""
    spellings = {" ".join(t) for t in respelled(tuple(texts))}
    spelled_otherwise = near.term.text in spellings or (near.gap < 0.05 and " ".join(texts) in terms.known)
    return not spelled_otherwise and not _same_stem(texts, near.term.text) and (not everyday or near.gap <= COMMON_GAP)


def _same_stem(texts: Sequence[str], term: str) -> bool:
    """Whether the term is only another ending of the word heard ("wobble", "wobbly"): no reason to question it.

    >>> _same_stem(["wobble"], "wobbly"), _same_stem(["ballisters"], "balusters")
    (True, False)
    """
    shared = sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(texts[0], term, strict=False)))
    return len(texts) == 1 and shared >= 4 and shared >= min(len(term), len(texts[0])) - 2


def _known(words: Sequence[Word], terms: Terms) -> list[bool]:
    """Whether a word is part of a term as heard and nothing speaks against it."""
    known = [False] * len(words)
    for length in range(1, LONGEST + 1):
        for start in range(len(words) - length + 1):
            if plain(" ".join(w.text for w in words[start : start + length])) in terms.known:
                sure = min(w.probability for w in words[start : start + length]) >= (0.6 if length == 1 else 0.3)
                known[start : start + length] = [k or sure for k in known[start : start + length]]
    return known
