"""Doubtful words are weighed against trade words that sound like them.

First the words of a stretch that sound like a term of the lexicon are found. Then the recogniser is asked,
over the encoding it already has, how likely the sound makes the words as heard and the words with the term in
their place, with the terms named to it beforehand so that a rare word is not at a disadvantage. The term takes the
place only on that evidence, never because it would fit; and everyday words give way less easily than words that
are none.
"""

from collections import Counter
from collections.abc import Callable, Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import takewhile

from memo2list.hearing.listening import LONGEST, Near, Terms, plain
from memo2list.hearing.recogniser import Heard, Recogniser
from memo2list.hearing.site_talk import SiteTalk
from memo2list.hearing.transcripts import Cue, spread_words
from memo2list.hearing.usual import proposals, said_by
from memo2list.records import Flag, StretchFlag, Word, WordRange
from memo2list.vocabulary.inflect import respelled

MOST_REGIONS = 5  # in a stretch of 28 s: wrong ones spoil the context of right ones
MOST_USUAL = 3  # and so many usual words
APART = 2  # words between regions
MOST_NAMED = 12  # terms named to the recogniser at a time
ENOUGH = -1.5  # log likelihood ratio at which a term wins over words that are no words
ENOUGH_FOR_MEASURED = 1.0  # over everyday words that are written for it (hard_words.tsv, or `sounds` in the lexicon)
ENOUGH_FOR_COMMON = 2.5  # over other everyday words
CHANCE = 1.5  # more for a likeness that is easily chance
SHORT_KEY, TYPICAL_KEY = 4, 6  # sounds; short ones are alike by chance
NARROW = -6.0  # a term that lost by less than this lets the next one try
WORTH_A_FLAG = -2.0  # above this both readings are kept
SURE = 0.97  # an everyday word heard surer than this is not questioned
SURE_TOGETHER = 0.8  # nor are several
SURE_RARE = 0.85  # nor is a rare word
ENOUGH_FOR_USUAL = 0.5  # for an everyday word that is usual in its place, over any words
WEIGHT_OF_USUAL, MOST_OF_USUAL = 0.5, 8.0  # of what usual talk says for a term or word, or against it
ODD, NOT_FAR = 2.0, 0.9  # everyday words so much less usual than a term that sounds so much like them are asked about
IN_USE = 1.0  # less is asked of a term of a trade in use, or heard elsewhere in this recording; more of others
HEARD_SURELY = 0.8
NUDGE = 0.3  # of that, in which of two terms is asked about first
COMMON = frozenset(
    """a about all am an and any are as at be because been but by can could did do does down for from get go going got had
    has have he her here him his how i if in into is it its it's i'd i'll i'm i've just know like me my no not now of off oh okay
    on one or our out over really right see she so some that that's the their them then there there's these they they're
    thing this those to too two uh um up us was we we'll we're well were what when where which who will with would yeah
    yes you you're your""".split()
)


@dataclass(frozen=True, slots=True)
class Setting:
    """What the talk is about: terms heard surely elsewhere or belonging to the job, and the packs in use."""

    words: frozenset[str] = frozenset()
    packs: frozenset[str] = frozenset()
    pack_of: Mapping[str, str] = field(default_factory=dict)

    def favours(self, term: str) -> float:
        """How much less is asked of a term of this job, or of a pack in use; negative (more) for terms of other packs."""
        if term in self.words:
            return IN_USE
        if not self.packs or term not in self.pack_of:
            return 0.0
        return IN_USE / 2 if self.pack_of[term] in self.packs else -IN_USE / 2


NOWHERE = Setting()


def setting_of(hearings: Iterable[Heard], terms: Terms, own: Iterable[str] = ()) -> Setting:
    """The setting of a chunk: its terms heard surely and the packs of at least two of them, and `own` words of the job."""
    heard: set[str] = set()
    for words in (h.words for h in hearings):
        for length in range(1, LONGEST + 1):
            for start in range(len(words) - length + 1):
                span = words[start : start + length]
                text = plain(" ".join(w.text for w in span))
                if text in terms.texts and min(w.probability for w in span) >= HEARD_SURELY:
                    heard.add(text)
    counts = Counter(terms.pack_of[t] for t in heard if t in terms.pack_of)
    packs = frozenset(p for p, times in counts.items() if times >= 2) | {"common"} if counts else frozenset[str]()
    own_words = {plain(piece) for text in own for piece in (text, *text.split())} - {""}
    return Setting(frozenset(heard) | own_words, packs, terms.pack_of)


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
    before, after = recogniser.likelihoods(heard, [words, reading], named)
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
    usual = WEIGHT_OF_USUAL * max(-MOST_OF_USUAL, min(MOST_OF_USUAL, near.usual))
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


def regions(
    words: Sequence[Word],
    terms: Terms,
    is_common: Callable[[str], bool],
    setting: Setting = NOWHERE,
    talk: SiteTalk | None = None,
) -> list[Region]:
    """Stretches of one to three words that sound like a term and are none, at most one for each word, the most telling first."""
    known, said = _known(words, terms), said_by(words)
    found: list[tuple[float, Region]] = []
    for start in range(len(words)):
        for stop in range(start + 1, min(len(words), start + LONGEST) + 1):
            span = words[start:stop]
            texts = [plain(w.text) for w in span]
            if not _questionable(span, texts) or all(known[start:stop]):
                continue
            kept = {t for n, t in enumerate(texts, start) if known[n]}
            doubt = min(w.probability for w in span)
            everyday = all(is_common(t) for t in texts)
            near = [
                n
                for n in (_with_usual(n, said, start, stop, talk) for n in terms.near(texts))
                if kept <= set(n.term.text.split()) and _worth_asking(texts, n, everyday, doubt, terms)
            ]
            if near:
                near.sort(key=lambda n: n.gap - NUDGE * setting.favours(n.term.text))
                gap = TYPICAL_KEY * near[0].gap / len(near[0].term.key)  # a long term may be off by more than a short one
                found.append((gap + doubt + everyday, Region(WordRange(start, stop), tuple(near))))
    chosen: list[Region] = []
    for _, region in sorted(found, key=lambda f: (f[0], f[1].words)):
        wide = WordRange(max(0, region.words.first - APART), region.words.stop + APART)
        if len(chosen) < MOST_REGIONS and not any(wide.overlaps(c.words) for c in chosen):
            chosen.append(region)
    return sorted(chosen, key=lambda r: r.words)


def _with_usual(near: Near, said: Sequence[str], start: int, stop: int, talk: SiteTalk | None) -> Near:
    return replace(near, usual=talk.gain(said, start, stop, near.term.text.split())) if talk else near


def with_usual(found: Sequence[Region], words: Sequence[Word], talk: SiteTalk) -> list[Region]:
    """The regions with those of usual words that do not touch any of them or one another."""
    chosen = list(found)
    for at, near in sorted(proposals(words, talk), key=lambda p: -p[1].usual):
        wide = WordRange(max(0, at - 1), at + 2)
        if len(chosen) < MOST_REGIONS + MOST_USUAL and not any(wide.overlaps(c.words) for c in chosen):
            chosen.append(Region(WordRange(at, at + 1), (near,)))
    return sorted(chosen, key=lambda r: r.words)


def _questionable(span: Sequence[Word], texts: Sequence[str]) -> bool:
    """Words of one sentence, not all little everyday ones, no figures, none of two parts ("stub-out")."""
    whole = all(t.replace("'", "").isalpha() for t in texts)
    return whole and not all(t in COMMON for t in texts) and not any(w.text[-1:] in ".?!" for w in span[:-1])


def _worth_asking(texts: Sequence[str], near: Near, everyday: bool, doubt: float, terms: Terms) -> bool:
    """Measured confusions are asked about, and doubtful words that are not everyday ones.

    Everyday words are not questioned because a term sounds like them: asked about all of them, the recogniser was wrong as often
    as right. Other endings and other spellings of the words heard are no reason to question them either.
    """
    spellings = {" ".join(t) for t in respelled(tuple(texts))}
    spelled_otherwise = near.term.text in spellings or (near.gap < 0.05 and " ".join(texts) in terms.known)
    if spelled_otherwise or _same_stem(texts, near.term.text):
        return False
    if near.measured:
        return doubt <= (SURE if len(texts) == 1 else SURE_TOGETHER)
    if near.usual >= ODD and near.gap <= NOT_FAR and doubt <= SURE and len(near.term.key) >= SHORT_KEY:
        return True
    framed = texts[0] in COMMON or texts[-1] in COMMON  # "the tenets": the little word is no part of a term
    return not everyday and not framed and doubt <= SURE_RARE and len(near.term.key) >= SHORT_KEY


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
