"""Which words of a hearing are doubtful, and what they may have been: terms that sound like them, and usual words."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import takewhile

from memo2list.hearing.listening import LONGEST, Near, Terms, plain
from memo2list.hearing.setting import NOWHERE, Setting
from memo2list.hearing.site_talk import SiteTalk
from memo2list.hearing.usual import proposals, said_by
from memo2list.records import Word, WordRange
from memo2list.vocabulary.inflect import respelled

MOST_REGIONS = 5  # in a stretch of 28 s: wrong ones spoil the context of right ones
MOST_USUAL = 3  # and so many usual words
APART = 2  # words between regions
SHORT_KEY, TYPICAL_KEY = 4, 6  # sounds; short ones are alike by chance
SURE = 0.97  # an everyday word heard surer than this is not questioned
SURE_TOGETHER = 0.8  # nor are several
SURE_RARE = 0.85  # nor is a rare word
ODD, NOT_FAR = 2.0, 0.9  # everyday words so much less usual than a term that sounds so much like them are asked about
NUDGE = 0.3  # of that, in which of two terms is asked about first
ARTICLES = frozenset(("a", "an", "the"))
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
    if not near.measured and not ARTICLES.isdisjoint(texts):
        return False  # "till the boards" is not "tile boards": articles are spoken, and no part of a term
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
