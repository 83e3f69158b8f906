"""Whether two findings speak of the same thing in the same place."""

from memo2list.records import Finding, Place
from memo2list.vocabulary.entries import Entry, Matcher

SMALL = frozenset("the a an of on in at to by side area".split())


def entry_of(finding: Finding, lexicon: Matcher) -> Entry | None:
    return lexicon.entry("element", finding.element.entry) if finding.element else None


def same_element(a: Finding, b: Finding, lexicon: Matcher) -> bool:
    """The same entry, or one a kind of the other ("storm door", then "the door")."""
    if a.element and b.element and a.element.entry == b.element.entry:
        return True
    first, second = entry_of(a, lexicon), entry_of(b, lexicon)
    if first is None or second is None:
        return False
    if first.name == second.name:
        return True
    return (
        first.name == second.kind_of
        or second.name == first.kind_of
        or first.name.endswith(f" {second.name}")
        or second.name.endswith(f" {first.name}")
    )


def place_words(place: Place | None) -> frozenset[str]:
    return frozenset(place.name.replace(",", "").split()) - SMALL if place else frozenset()


def same_place(a: Finding, b: Finding) -> bool:
    """Places that do not contradict each other: one not said, one inside the other, or only carried on."""
    first, second = place_words(a.place), place_words(b.place)
    return not first or not second or first <= second or second <= first


def shared_place(a: Finding, b: Finding) -> float:
    """Share of place words the two have in common, 0..1; 1 where neither says a place."""
    first, second = place_words(a.place), place_words(b.place)
    return len(first & second) / len(first | second) if first | second else 1.0


def words_apart(a: Finding, b: Finding) -> int:
    return max(0, a.words.first - b.words.stop, b.words.first - a.words.stop)


def claims(finding: Finding) -> frozenset[str]:
    return frozenset(m.entry for m in (*finding.problems, *finding.actions))
