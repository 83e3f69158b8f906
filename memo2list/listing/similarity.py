"""Whether two findings speak of the same thing: named features of the pair, which the fitted judge "merge" weighs."""

from collections.abc import Mapping
from functools import lru_cache

from memo2list.records import Finding, Place
from memo2list.vocabulary.entries import Entry, Matcher

SMALL = frozenset("the a an of on in at to by side area".split())
FAR = 999  # words apart that count as far


def entry_of(finding: Finding, lexicon: Matcher) -> Entry | None:
    return lexicon.entry("element", finding.element.entry) if finding.element else None


def related(a: Finding, b: Finding, lexicon: Matcher) -> dict[str, float]:
    """How the elements of two findings are related."""
    first, second = name_of(a), name_of(b)
    one, two = entry_of(a, lexicon), entry_of(b, lexicon)
    named, other = words_of(first), words_of(second)
    heads = bool(first) and bool(second) and first.rpartition(" ")[2] == second.rpartition(" ")[2]
    said = said_words(a) & said_words(b)
    return {
        "same_element": first == second,
        "same_head": heads,
        "one_in_other": bool(named) and bool(other) and (named <= other or other <= named),
        "kind_of": bool(
            one and two and ({one.kind_of, two.kind_of} & {first, second} or (one.kind_of and one.kind_of == two.kind_of))
        ),
        "part_of": bool(one and two and {one.part_of, two.part_of} & {first, second}),
        "siblings": bool(one and two and one.part_of and one.part_of == two.part_of),
        "same_pack": bool(one and two and one.pack == two.pack),
        "shared_said": len(said),
        "unlisted": (one is None) + (two is None),
        "same_mention": bool(a.element and b.element and a.element.words == b.element.words),
    }


def name_of(finding: Finding) -> str:
    return finding.element.entry if finding.element else ""


def said_words(finding: Finding) -> frozenset[str]:
    return words_of(finding.element.said or finding.element.entry) if finding.element else frozenset()


@lru_cache(maxsize=10_000)
def words_of(name: str) -> frozenset[str]:
    return frozenset(name.split())


@lru_cache(maxsize=10_000)
def place_words_of(name: str) -> frozenset[str]:
    return frozenset(name.replace(",", "").split()) - SMALL


def place_words(place: Place | None) -> frozenset[str]:
    return place_words_of(place.name) if place else frozenset()


def same_place(a: Finding, b: Finding) -> bool:
    """Places that do not contradict each other: one not said, or one inside the other."""
    first, second = place_words(a.place), place_words(b.place)
    return not first or not second or first <= second or second <= first


def shared_place(a: Finding, b: Finding) -> float:
    """Share of place words the two have in common, 0..1; 1 where neither says a place."""
    first, second = place_words(a.place), place_words(b.place)
    return len(first & second) / len(first | second) if first | second else 1.0


def words_apart(a: Finding, b: Finding) -> int:
    return min(FAR, max(0, a.words.first - b.words.stop, b.words.first - a.words.stop))


def elements_apart(a: Finding, b: Finding) -> int:
    if not a.element or not b.element:
        return FAR
    return min(FAR, max(0, a.element.words.first - b.element.words.stop, b.element.words.first - a.element.words.stop))


def claims(finding: Finding) -> frozenset[str]:
    return frozenset(m.entry for m in (*finding.problems, *finding.actions))


def judgement(finding: Finding) -> float:
    """The reader's own chance that the finding is right."""
    return next((p.value for p in finding.parts if p.name == "judgement"), 0.5)


def pair_features(a: Finding, b: Finding, others_between: int, lexicon: Matcher) -> Mapping[str, float]:
    """`a` was said first; `others_between` counts findings about other elements said between the two."""
    features = related(a, b, lexicon) | {
        "same_claim": bool(claims(a) & claims(b)),
        "same_claim_words": a.words == b.words,
        "claims_overlap": a.words.overlaps(b.words),
        "first_problem": bool(a.problems),
        "second_problem": bool(b.problems),
        "words_apart": words_apart(a, b),
        "elements_apart": elements_apart(a, b),
        "passages_apart": abs(b.passage - a.passage),
        "same_speaker": a.speaker == b.speaker,
        "same_place": same_place(a, b),
        "shared_place": shared_place(a, b),
        "place_named_again": bool(b.place and not b.place.carried),
        "others_between": min(9, others_between),
        "chance_first": judgement(a),
        "chance_second": judgement(b),
        "same_status": a.assertion.status == b.assertion.status,
    }
    return features
