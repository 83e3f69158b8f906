"""Places: what is named here, and what stays in force until the next place is named.

A place with a preposition or in a short announcement ("okay, round the back") comes into force; one that only
describes an element ("the kitchen tap", "by the door") belongs to that statement alone. Levels nest:
a new unit or floor ends the room, a new side ends the outside spot.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from memo2list.reading.mentions import Known
from memo2list.reading.scene import Stage
from memo2list.reading.unlisted import is_noun
from memo2list.records import Place, WordRange

LEVELS = {"unit": 0, "floor": 1, "side": 2, "outside": 3, "room": 3, "spot": 5}
# words that point but do not say where, or that say no more than "here"
POINTING = frozenset(
    "here there in out up down over back this that these those right the on it round around outside backs floor building house "
    "property home place wall ceiling".split()
) - {"back", "outside"}
LEADING_BACK = frozenset("the out in at round around your on this to".split())
BESIDE_REACH = 15  # words between a finding and a place said in its passage
MOST_BESIDE = 2
MOST_NAMES = 5
EARLY = 6  # words: a place named later in a passage belongs to that statement alone
ANNOUNCED = 4  # an element announced as the place where the talk goes on: "okay, front steps"
COMING = frozenset(
    "in on at to into onto round around up down over out outside inside through under underneath here's this next now".split()
)
BESIDE = frozenset("by under above behind beside near over below at along underneath beneath against inside outside".split())
ANNOUNCING = frozenset("okay ok alright right so now next then and here well good um uh that's let's".split())
CHAT = frozenset(
    "yes yeah yep yup nope nah right okay sure great perfect lovely thanks please really exactly done agreed cool deal "
    "wow ouch oh huh hmm mhm oof accepted works see fair gosh shame brown red white yikes whoa clean "
    " absolutely definitely correct sorry true good nice brilliant noted understood anyway hello "
    "solid sound".split()
)
SHORT = 9  # words: a short passage that names a place and nothing wrong announces it
FILLERS = frozenset("the a this that your our my same these other um uh front back left right upstairs downstairs".split())


@dataclass(frozen=True, slots=True)
class Named:
    """A place named in a passage."""

    words: WordRange
    said: str
    level: int
    enters: bool  # comes into force
    indoors: bool = False
    owned: bool = False  # part of an element's name ("the kitchen tap"), of use to that element only


@dataclass(frozen=True, slots=True)
class InForce:
    """The places in force, outermost first; one a level."""

    levels: tuple[tuple[int, str, WordRange], ...] = ()

    def enter(self, named: Named) -> "InForce":
        """A place ends those inside it; a room also ends the side of the house one stood on."""
        limit = LEVELS["side"] if named.indoors else named.level
        kept = tuple(entry for entry in self.levels if entry[0] < limit)
        return InForce((*kept, (named.level, named.said, named.words)))

    @property
    def name(self) -> str:
        return ", ".join(said for _, said, _ in reversed(self.levels))


@dataclass(frozen=True, slots=True)
class PlaceNotes:
    """Places of one passage: in force before it, named in it, in force after it."""

    before: InForce
    named: tuple[Named, ...]
    after: InForce


def read_places(stages: Sequence[Stage], told: Mapping[int, tuple[Named, ...]] | None = None) -> tuple[PlaceNotes, ...]:
    """`told` are the places of passages in which the speaker announced a change of place (reading/steering.py)."""
    notes, force = [], InForce()
    for stage in stages:
        named = (told or {}).get(stage.number) or tuple(named_places(stage))
        after = force
        for one in named:
            if one.enters:
                after = after.enter(one)
        notes.append(PlaceNotes(force, named, after))
        force = after
    return tuple(notes)


def named_places(stage: Stage) -> list[Named]:
    known = stage.of_kind("place")
    places = joined([n for n in (named_place(stage, k) for k in known) if n])
    places += [*owned_places(stage, known), *spots(stage, places)]
    if "start" in stage.said or "finish" in stage.said:  # the plan of the walk: where it begins counts
        entering = [p for p in places if p.enters][:1]
        return [p for p in places if not p.enters] + entering
    return places + announced_elements(stage, places)


def owned_places(stage: Stage, known: Sequence[Known]) -> list[Named]:
    """ "the kitchen tap", "porch floor": a place inside an element's name says where that element is."""
    inside = [k for k in known if inside_element(stage, k) and not set(k.mention.said.split()) <= POINTING]
    return [Named(k.words, k.mention.said, LEVELS["spot"], False, owned=True) for k in inside]


def spots(stage: Stage, places: Sequence[Named]) -> list[Named]:
    """ "by the boiler", "under the deck": an element led by a preposition says where another one is."""
    found = []
    for k in stage.elements:
        at = k.words.first - stage.words.first
        before = [w for w in stage.said[max(0, at - 3) : at] if w not in FILLERS]
        if before and before[-1] in BESIDE and k.mention.how != "unlisted" and not any(p.words.overlaps(k.words) for p in places):
            found.append(Named(k.words, k.mention.said, LEVELS["spot"], False))
    return found


def announced_elements(stage: Stage, places: Sequence[Named]) -> list[Named]:
    """ "Okay, front steps.", "so, this ramp down to the dock": an element that opens a short passage with nothing wrong in it."""
    if len(stage.said) > SHORT or stage.claims or stage.said[-1:] == ("fine",):
        return []
    first = next(iter(stage.elements), None)
    if first is None:
        return [] if places else bare_announcement(stage)
    if any(p.words.overlaps(first.words) and p.enters for p in places) or not opens(stage, first.words):
        return []
    return [Named(first.words, first.mention.said, ANNOUNCED, True)]


def bare_announcement(stage: Stage) -> list[Named]:
    """ "Tack room.", "Okay, walk-in.": nothing but a name of one to three words, which the lexicon need not know."""
    start = next((n for n, w in enumerate(stage.said) if w not in ANNOUNCING and w not in FILLERS), len(stage.said))
    rest = stage.said[start:]
    if not 1 <= len(rest) <= 3 or not all(is_noun(w) for w in rest) or stage.cues:
        return []
    words = WordRange(stage.words.first + start, stage.words.stop)
    if rest[-1] == "room":
        return [Named(words, " ".join(rest), LEVELS["room"], True, indoors=True)]
    return [Named(words, " ".join(rest), ANNOUNCED, True)] if rest[-1] not in CHAT else []


def opens(stage: Stage, words: WordRange) -> bool:
    """Only words that lead to a place stand before; with none before, nothing may stand after."""
    before = stage.said[: words.first - stage.words.first]
    leading = all(w in ANNOUNCING or w in FILLERS or w in COMING for w in before)
    return leading and (any(w in ANNOUNCING or w in COMING for w in before) or len(stage.said) <= len(before) + len(words) + 1)


def named_place(stage: Stage, known: Known) -> Named | None:
    if inside_element(stage, known) or set(known.mention.said.split()) <= POINTING or returns(stage, known):
        return None
    if known.entry.sense == "unit" and len(known.words) == 1:
        return None  # "the units" without a number
    level = LEVELS.get(known.entry.sense, LEVELS["spot"])
    at = known.words.first - stage.words.first
    enters = level < LEVELS["spot"] and (comes(stage, at) or announces(stage, known))
    return Named(known.words, known.mention.said, level, enters, known.entry.sense == "room")


def returns(stage: Stage, known: Known) -> bool:
    """ "Put it back", "straight back down": no place, unless a word that leads to one stands before."""
    at = known.words.first - stage.words.first
    return known.mention.said == "back" and (at == 0 or stage.said[at - 1] not in LEADING_BACK)


def inside_element(stage: Stage, place: Known) -> bool:
    """ "the back door": the place is part of an element's name, not a place of its own."""
    return any(k.words.overlaps(place.words) and len(k.words) > len(place.words) for k in stage.elements)


def comes(stage: Stage, at: int) -> bool:
    before = [w for w in stage.said[max(0, at - 4) : at] if w not in FILLERS]
    return at <= EARLY and bool(before) and before[-1] in COMING and not describes(stage, at)


def describes(stage: Stage, at: int) -> bool:
    """True where an element follows at once: "in the kitchen ceiling" says which ceiling."""
    return any(k.words.first == stage.words.first + at + 1 for k in stage.elements)


def announces(stage: Stage, place: Known) -> bool:
    others = [k for k in stage.claims if not k.words.overlaps(place.words)]
    at = place.words.first - stage.words.first
    opening = all(w in ANNOUNCING or w in FILLERS or w in COMING for w in stage.said[:at])
    return (len(stage.said) <= SHORT and not others) or (
        opening and not describes(stage, place.words.stop - 1 - stage.words.first)
    )


def joined(named: list[Named]) -> list[Named]:
    """Neighbouring places make one name: "front" + "porch", "west side" + "corner"."""
    out: list[Named] = []
    for one in named:
        if out and one.words.first == out[-1].words.stop:
            last = out[-1]
            out[-1] = replace(
                last,
                words=last.words.join(one.words),
                said=f"{last.said} {one.said}",
                level=max(last.level, one.level),
                enters=last.enters or one.enters,
                indoors=last.indoors or one.indoors,
            )
        else:
            out.append(one)
    return out


def place_of(
    notes: PlaceNotes, near: WordRange, span: WordRange, element: WordRange | None = None, room: str = ""
) -> Place | None:
    """The place of a finding whose words are `near`, within `span` (its passage): named here, then what is in force.

    `room` is the one its element nearly always stands in; it counts where no room is named or in force.
    """
    inside = [n for n in notes.named if n.words.first >= span.first and n.words.stop <= span.stop]
    force = notes.after if any(n.enters and n.words.first < near.stop for n in inside) else notes.before
    own = [n for n in inside if n.owned and element and n.words.overlaps(element)]
    beside = [n for n in inside if not n.owned and not n.words.overlaps(near if element is None else element)]
    beside = sorted((n for n in beside if distance(n.words, near) <= BESIDE_REACH), key=lambda n: distance(n.words, near))
    here = [*own, *beside[:MOST_BESIDE]]
    names = list(dict.fromkeys([*(n.said for n in here), *(said for _, said, _ in reversed(force.levels))]))
    if room and not any(level == LEVELS["room"] for level, _, _ in force.levels):
        names.insert(len(here), room)
    if not here and not force.levels:
        return Place(room, near, carried=True) if room else None
    words = here[0].words if here else force.levels[-1][2]
    return Place(", ".join(names[:MOST_NAMES]), words, carried=not here and words.first < span.first)


def distance(a: WordRange, b: WordRange) -> int:
    return max(0, a.first - b.stop, b.first - a.stop)
