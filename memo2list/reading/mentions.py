"""Mentions: words matched to lexicon entries, the longest and most specific winning.

Elements, problems, actions and materials compete for words; places do not, since a porch is a place and an
element. Words that could be a thing or a deed ("paint", "stain", "caulk") are decided by what stands around them.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from memo2list.reading.unlisted import entry_for, new_nouns, unlisted
from memo2list.reading.words import plain
from memo2list.records import Mention, Transcript, WordRange
from memo2list.vocabulary.entries import Entry, Match, Matcher
from memo2list.vocabulary.tokens import split_form, split_word

TRUST = {"exact": 0, "variant": 1, "description": 2, "sound-alike": 3, "fuzzy": 4, "unlisted": 5, "implied": 6}
BEFORE_NOUN = frozenset(
    "the a an this that these those your our my its his her their some any no each every old new bad other same".split()
)
BEFORE_VERB = frozenset(
    "to i'll we'll you'll i'd we'd you'd they'll he'll let's gonna just then and or please will would should must can could "
    "need i we you".split()
)
OBJECT_START = frozenset("the a an this that these those it them all both each every your our one everything whole".split())


@dataclass(frozen=True, slots=True)
class Known:
    """A mention with the lexicon entry behind it."""

    mention: Mention
    entry: Entry
    pieces: tuple[WordRange, ...]  # the words really matched, where a description leaves some out

    @property
    def words(self) -> WordRange:
        return self.mention.words

    @property
    def kind(self) -> str:
        return self.mention.kind

    @property
    def name(self) -> str:
        return self.entry.name


def find_mentions(transcript: Transcript, words: WordRange, lexicon: Matcher) -> tuple[Known, ...]:
    """Mentions in one passage, in order of first word."""
    texts = [w.text for w in transcript.words[words.first : words.stop]]
    sure = [w.probability for w in transcript.words[words.first : words.stop]]
    matches = lexicon.find(texts, sure)
    said = [plain(t) for t in texts]
    chosen = [
        *choose([m for m in matches if m.entry.kind != "place"], said),
        *longest([m for m in matches if is_whole_place(m, texts)]),
    ]
    known = [known_mention(m, said, words.first) for m in chosen]
    known += [*missing_parts(known, said, words.first, lexicon), *new_parts(known, said, words.first, lexicon)]
    known += new_things(known, texts, words.first, lexicon)
    taken = {n for k in known if k.kind != "place" for piece in k.pieces for n in piece}
    known += [Known(m, entry_for(m), (m.words,)) for m in unlisted(texts, said, words.first, taken)]
    return tuple(sorted(known, key=lambda k: (k.words.first, k.words.stop)))


def is_whole_place(match: Match, texts: Sequence[str]) -> bool:
    """A place, and not a piece of a hyphened word ("back" in "back-pitched")."""
    if match.entry.kind != "place":
        return False
    spoken = {token for text in texts[match.start : match.stop] if "-" in text for token in split_word(text)}
    return spoken <= {*split_form(match.form), *split_form(match.entry.name)}


def known_mention(match: Match, said: Sequence[str], offset: int) -> Known:
    words = WordRange(match.start + offset, match.stop + offset)
    pieces = tuple(WordRange(a + offset, b + offset) for a, b in match.inner) or (words,)
    text = " ".join(said[match.start : match.stop])
    return Known(Mention(match.entry.kind, match.entry.name, words, match.how, match.score, text), match.entry, pieces)


def cover(match: Match) -> set[int]:
    pieces = match.inner or ((match.start, match.stop),)
    return {n for a, b in pieces for n in range(a, b)}


def preference(match: Match) -> tuple[int, int, int]:
    """Sort key: most words really matched first, then the most trusted way, then the earliest."""
    return (-len(cover(match)), TRUST[match.how], match.start)


def longest(matches: Iterable[Match]) -> list[Match]:
    kept: list[Match] = []
    taken: set[int] = set()
    for match in sorted(matches, key=preference):
        if not taken & cover(match):
            kept.append(match)
            taken |= cover(match)
    return kept


def choose(matches: list[Match], said: Sequence[str]) -> list[Match]:
    """The longest matches; of several kinds on the same words, those that the surroundings allow."""
    kept: list[Match] = []
    for match in sorted(matches, key=preference):
        words = cover(match)
        rivals = [k for k in kept if cover(k) & words]
        if all(cover(k) == words and k.entry.kind != match.entry.kind for k in rivals):
            kept.append(match)
    return [m for m in kept if allowed(m, kept, said)]


def allowed(match: Match, kept: list[Match], said: Sequence[str]) -> bool:
    rivals = {k.entry.kind for k in kept if k is not match and cover(k) == cover(match)}
    if not rivals:
        return True
    deed = is_deed(said, match.start, match.stop)
    if match.entry.kind == "action":
        return deed is not False
    if match.entry.kind in ("element", "material") and "action" in rivals:
        return deed is not True
    return True


def is_deed(said: Sequence[str], start: int, stop: int) -> bool | None:
    """True for a deed ("paint the door"), False for a thing ("the paint"), None where the words do not tell."""
    before = said[start - 1] if start else ""
    after = said[stop] if stop < len(said) else ""
    if before in BEFORE_NOUN:
        return False
    if before in BEFORE_VERB or after in OBJECT_START:
        return True
    return None


def missing_parts(known: list[Known], said: Sequence[str], offset: int, lexicon: Matcher) -> list[Known]:
    """ "No handle on the door", "there isn't any flashing": a part said with "no" is missing, and that is work."""
    entry = lexicon.entry("problem", "missing")
    return [
        synthetic(entry, k, said, offset, 2)
        for k in known
        if entry and k.kind == "element" and said_absent(said, k.words.first - offset)
    ]


def said_absent(said: Sequence[str], at: int) -> bool:
    before = said[max(0, at - 3) : at]
    if before[-1:] == ["no"] or (len(before) > 1 and before[-2] == "no"):
        return True
    return before[-1:] in (["any"], ["a"]) and bool(
        {"isn't", "without", "never", "haven't", "hasn't", "ain't", "don't", "aren't"} & set(before[:-1])
    )


def new_parts(known: list[Known], said: Sequence[str], offset: int, lexicon: Matcher) -> list[Known]:
    """ "New post, pressure-treated": a new part asked for is a replacement."""
    entry = lexicon.entry("action", "replace")
    elements = [k for k in known if k.kind == "element"]
    return [
        synthetic(entry, k, said, offset, 4)
        for k in elements
        if entry and "new" in said[max(0, k.words.first - offset - 3) : k.words.first - offset]
    ]


def new_things(known: list[Known], texts: Sequence[str], offset: int, lexicon: Matcher) -> list[Known]:
    """ "New operator.", "a new pair of slides": a new thing the lexicon has no name for is a replacement too."""
    entry = lexicon.entry("action", "replace")
    spoken_for = {n - offset for k in known if k.kind in ("action", "element") for piece in k.pieces for n in piece}
    found = []
    for first, stop in new_nouns(texts) if entry else ():
        if entry and not spoken_for & set(range(first, stop)):
            words = WordRange(first + offset, stop + offset)
            text = " ".join(plain(t) for t in texts[first:stop])
            found.append(Known(Mention("action", entry.name, words, "unlisted", 0.6, text), entry, (words,)))
    return found


def synthetic(entry: Entry, element: Known, said: Sequence[str], offset: int, back: int) -> Known:
    """A problem or action that the words before an element express."""
    at = element.words.first - offset
    window = said[max(0, at - back) : at]
    signs = [
        n
        for n, w in enumerate(window)
        if w in ("no", "new", "isn't", "without", "never", "haven't", "hasn't", "ain't", "don't", "aren't")
    ]
    first = at - len(window) + (signs[-1] if signs else 0)
    words = WordRange(first + offset, max(first + 1, at) + offset)
    text = " ".join(said[first : element.words.stop - offset])
    return Known(Mention(entry.kind, entry.name, words, "description", 1.0, text), entry, (words,))
