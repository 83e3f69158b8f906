"""Things and faults the lexicon has no word for, told by their setting alone: "it doesn't latch", "the louvre slat is split".

Four settings are general enough: a verb that is denied ("won't stay up"), "too" with an adjective, a deed that is
needed or promised ("wants reglazing", "I'll re-dash that"), and a noun with a determiner. They are named by the words
said, carry `how="unlisted"`, and weigh less than words of the lexicon.
"""

from collections.abc import Iterable, Sequence

from memo2list.reading.words import ends_clause, plain
from memo2list.records import Mention, MentionKind, WordRange
from memo2list.vocabulary.entries import Entry

DENIALS = frozenset("doesn't won't don't can't isn't aren't hasn't never wouldn't couldn't didn't".split())
SOFTENERS = frozenset("even really quite actually just properly fully ever all much always go".split())
PARTICLES = frozenset(
    "up down off on in out over through back away shut open closed properly right straight flush level tight".split()
)
NO_FAULT = frozenset(
    "know think want need have like care see believe remember do matter mean look be get say tell mind worry bother "
    "blame let put "
    "make forget trust love hate understand recommend touch use buy pay sell wait come ask call guess suppose take give find "
    "a an the that it any so too there this what who you i we they he she my your not no one enough sure in to for "
    "with at of on "
    "expect promise charge agree hear feel really even work".split()
) - {"work", "come"}  # fmt: skip
COPULAS = frozenset(
    "is are was it's that's they're these're looks look feels feel gets getting got gone going seems turned smells stays".split()
)
NOT_COPULAS = frozenset("let's here's there's what's who's where's how's he's she's".split())
DEGREES = frozenset(
    "all really quite very pretty kind sort of a bit little so just still already completely totally plain awful awfully "
    "getting looking gone half nearly almost more".split()
)
AFTER_STATE = frozenset(
    "and on in at by along under over round around from where there here too though now all with to as up".split()
)
NO_STATE = frozenset(
    "good fine okay great nice lovely perfect solid sound tight straight level sure right true done ready easy hard worth "
    "what where which that this there here then when your their about with from like more most much many some same only also "
    "into onto over under back down gonna going been being having have need want better best cheap cheaper expensive enough "
    "original standard normal usual fair clear different possible later today tomorrow yours mine ours nothing something "
    "everything anything because probably maybe actually really basically exactly fairly dear love honey mate sorry happy "
    "busy funny serious kidding talking white blue green black brown yellow grey gray cedar oak pine brick steel plastic "
    "wood wooden copper vinyl aluminum concrete stone another other next last first second third them they those these "
    "three four five seven eight nine twelve twenty thirty forty fifty hundred feet foot inches inch mine".split()
)
NO_ADJECTIVE = frozenset("much many bad late early often though and i we you that soon long far well the a for me".split())
WANTING = frozenset("needs need wants want needing wanted".split())
PROMISES = frozenset("i'll we'll i'd we'd let's gonna".split())
NO_DEED = frozenset(
    "be get have see go come say tell know think call like love let want need take put do make give show send try "
    "talk ask bring leave "
    "keep use just not never probably also always still start need even rather guess bet say imagine write note pass "
    "live be".split()
)
PORTIONS = frozenset("pair set length piece sheet run bit row lot course section bag roll box".split())
OBJECTS = frozenset("it that them this these those the a both all each every your".split())
DETERMINERS = frozenset(
    "the this that these those your our a an both all every each two three four five six another any some no my".split()
)
NO_THING = frozenset(
    "thing things guy guys time way one ones house place places side bit rest day week money price job kid kids dog "
    "cat wife husband brother "
    "sister mother father guy lady man woman people person year years month summer winter spring fall morning "
    "afternoon night list "
    "other others same second first third last next whole lot lots few couple end middle top bottom back front left "
    "right inside outside "
    "part parts piece pieces stuff idea reason problem problems question matter point deal story way kind sort type "
    "look minute hour hours weekend "
    "number name color colour paper phone car truck rain water weather sun wind weight more less best worst good bad "
    "new old big little only "
    "very really just of is are was and or but so that it to in on at for with from by if then than as well now here "
    "there what which who "
    "too also not all any inch inches foot feet yard metre meter half quarter dozen pair bunch set tenant tenants "
    "landlord owner neighbor neighbour "
    "roofer plumber electrician painter builder inspector contractor guy's everything anything nothing something fine".split()
)
AFTER_THING = frozenset(
    "is are was has have need needs want wants won't doesn't isn't aren't don't can't looks look feels keeps keep on "
    "in at by over under of "
    "that's behind above below here there where with and or".split()
)


def unlisted(texts: Sequence[str], said: Sequence[str], offset: int, taken: set[int]) -> list[Mention]:
    """Mentions told by their setting, in words (numbers from `offset`) that no known mention in `taken` covers."""
    found = [*denials(said), *too_much(said), *states(said), *deeds(said), *things(texts, said)]
    out: list[Mention] = []
    used = {n - offset for n in taken}
    for kind, first, stop in sorted(found, key=lambda f: (f[1], -f[2])):
        if not used & set(range(first, stop)):
            out.append(mention(kind, said, first, stop, offset))
            used |= set(range(first, stop))
    return out


def mention(kind: MentionKind, said: Sequence[str], first: int, stop: int, offset: int) -> Mention:
    text = " ".join(said[first:stop])
    return Mention(
        kind, singular(text) if kind == "element" else text, WordRange(first + offset, stop + offset), "unlisted", 0.6, text
    )


def entry_for(found: Mention) -> Entry:
    """An entry of no pack, so that the rest of the reader can treat it like any other."""
    return Entry(found.entry, found.kind, "")


def singular(text: str) -> str:
    """A plain singular: "louvre slats" → "louvre slat"; words in -ss and -us stay."""
    return text[:-1] if text.endswith("s") and not text.endswith(("ss", "us", "is")) and len(text) > 3 else text


def denials(said: Sequence[str]) -> Iterable[tuple[MentionKind, int, int]]:
    """ "doesn't latch", "won't stay up", "isn't pulling"."""
    for n, word in enumerate(said):
        if word not in DENIALS:
            continue
        at = n + 1
        while at < len(said) and said[at] in SOFTENERS:
            at += 1
        if at < len(said) and said[at].isalpha() and len(said[at]) > 2 and said[at] not in NO_FAULT and subject(said, n):
            yield "problem", n, at + 2 if at + 1 < len(said) and said[at + 1] in PARTICLES else at + 1


def states(said: Sequence[str]) -> Iterable[tuple[MentionKind, int, int]]:
    """ "it's punk", "the edge looks chewed", "that's getting crusty": a state told by one word the lexicon has not."""
    for n, word in enumerate(said):
        if word not in COPULAS and not (word.endswith("'s") and word not in NOT_COPULAS):
            continue
        at = n + 1
        while at < len(said) and said[at] in DEGREES:
            at += 1
        if at < len(said) and is_state(said[at]) and (at + 1 == len(said) or said[at + 1] in AFTER_STATE):
            yield "problem", at, at + 1


def is_state(word: str) -> bool:
    return word.isalpha() and len(word) > 3 and word not in NO_STATE and word not in NO_FAULT and not word.endswith("ing")


def subject(said: Sequence[str], at: int) -> bool:
    """Something other than the speaker fails: "I don't paint" is no fault."""
    return at == 0 or said[at - 1] not in ("i", "we", "you", "they", "he", "she", "people")


def too_much(said: Sequence[str]) -> Iterable[tuple[MentionKind, int, int]]:
    for n, word in enumerate(said[:-1]):
        if word == "too" and said[n + 1].isalpha() and len(said[n + 1]) > 2 and said[n + 1] not in NO_ADJECTIVE:
            yield "problem", n, n + 2


def deeds(said: Sequence[str]) -> Iterable[tuple[MentionKind, int, int]]:
    """ "wants reglazing", "needs to be re-pinned", "I'll re-dash that"."""
    for n, word in enumerate(said[:-1]):
        following = said[n + 1]
        if word in WANTING and (following.endswith(("ing", "ed")) or following.startswith("re-")) and len(following) > 4:
            yield "action", n + 1, n + 2
        elif word in WANTING and said[n + 1 : n + 3] == ["to", "be"] and n + 3 < len(said) and len(said[n + 3]) > 3:
            yield "action", n + 3, n + 4
        elif word in PROMISES and is_deed_word(following) and said[n + 2 : n + 3] and said[n + 2] in OBJECTS | PARTICLES:
            yield "action", n + 1, n + 2


def is_deed_word(word: str) -> bool:
    return word not in NO_DEED and word.replace("-", "").isalpha() and len(word) > 2


def things(texts: Sequence[str], said: Sequence[str]) -> Iterable[tuple[MentionKind, int, int]]:
    """A noun of one to three words after a determiner, followed by a verb, a preposition or the end of a clause."""
    for n, word in enumerate(said):
        if word not in DETERMINERS:
            continue
        stop = n + 1
        while (
            stop < len(said) and stop < n + 4 and is_noun(said[stop]) and not ends_clause(texts[stop - 1] if stop > n + 1 else "")
        ):
            stop += 1
        if stop > n + 1 and (stop == len(said) or said[stop] in AFTER_THING or ends_clause(texts[stop - 1])):
            yield "element", n + 1, stop


def new_nouns(texts: Sequence[str]) -> Iterable[tuple[int, int]]:
    """ "new operator", "new pair of slides": from "new" to the end of the noun."""
    said = [plain(t) for t in texts]
    for n, word in enumerate(said[:-1]):
        if word != "new" or ends_clause(texts[n]):
            continue
        start = n + 3 if said[n + 1] in PORTIONS and said[n + 2 : n + 3] == ["of"] else n + 1
        stop = start
        while stop < min(len(said), start + 3) and is_noun(said[stop]) and (stop == start or not ends_clause(texts[stop - 1])):
            stop += 1
        if stop > start or (start > n + 1 and start <= len(said)):
            yield n, max(stop, start)


def is_noun(word: str) -> bool:
    return (
        word.replace("-", "").isalpha()
        and len(word) > 2
        and word not in NO_THING
        and word not in AFTER_THING
        and plain(word) == word
    )
