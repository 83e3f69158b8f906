"""Which of the places that were named is where an item is: named features of the two, and the choice among weighed ones.

Places are weighed twice: first each by itself, then with what the items told just before and after are likely at, since
a talk stays in a room for a while.
"""

from bisect import bisect_right
from collections.abc import Iterator, Sequence

from memo2list.listing.anchors import FAR, Anchors, neighbours, words_between
from memo2list.listing.weighing import Option
from memo2list.records import Finding, PlaceSaid, Reading
from memo2list.vocabulary.entries import Matcher

LIKELY = 0.55  # chance from which a spot is told beside the likeliest place: names told are then right as often as single ones
LIKELY_AREA = 0.7  # the same for a second room, side or floor: "kitchen, back bedroom" sends the crew to the wrong one
MOST = 3  # places told: "under the window, kitchen, upstairs"
AHEAD = 2  # passages after an item in which its place may be named
MOST_AREAS = 14  # different rooms, sides, floors and the like before an item that are looked at
SPOT = 5  # level from which a place is a spot, of use nearby only
SPOT_REACH = 10  # passages
FURTHEST = 300  # passages before an item in which its room is looked for, so that the work stays linear
BEFORE, AFTER = 3, 2  # items before and after whose places are looked at
HERE = frozenset({"here", "here's"})
NOT_THERE, NO_ITEM = -0.1, -0.2  # in place of a chance


def place_options(reading: Reading, items: Sequence[Sequence[Finding]], lexicon: Matcher) -> list[list[Option[PlaceSaid]]]:
    """For each item of one recording (its findings) the places named before it and just after, the last one first."""
    anchors = [Anchors.of(findings) for findings in items]
    passages = [p.passage for p in reading.places]
    return [
        list(options(reading, own, others, passages, findings, lexicon))
        for findings, own, others in zip(items, anchors, neighbours(anchors), strict=True)
    ]


def options(
    reading: Reading,
    own: Anchors,
    others: Sequence[Anchors],
    passages: Sequence[int],
    findings: Sequence[Finding],
    lexicon: Matcher,
) -> Iterator[Option[PlaceSaid]]:
    seen: set[str] = set()
    entered: list[int] = []  # levels of the places come into since, the last one first
    areas = 0
    here = says_here(reading, own)
    for at in range(bisect_right(passages, own.last + AHEAD) - 1, -1, -1):
        place = reading.places[at]
        if own.first - place.passage > FURTHEST:
            break
        if place.said in seen or (place.level >= SPOT and own.first - place.passage > SPOT_REACH):
            continue
        features = (
            distance_features(reading, own, others, place)
            | element_features(findings, place)
            | place_features(place, entered)
            | {"rank": len(seen), "here": here, "findings": len(findings), "passages_of_item": own.last - own.first}
        )
        yield Option(place, {k: float(v) for k, v in features.items()}, (*place.facts, *joint_facts(findings, place, lexicon)))
        seen.add(place.said)
        entered += [place.level] if place.enters else []
        areas += place.level < SPOT
        if areas == MOST_AREAS:
            break
    for place in usual_rooms(findings, lexicon, seen):
        features = element_features(findings, place) | place_features(place, entered) | {"usual": True, "rank": len(seen)}
        yield Option(place, {k: float(v) for k, v in features.items()}, (*place.facts, *joint_facts(findings, place, lexicon)))


def usual_rooms(findings: Sequence[Finding], lexicon: Matcher, seen: set[str]) -> Iterator[PlaceSaid]:
    """The rooms that the elements nearly always stand in, where they were not named."""
    elements = [f.element for f in findings if f.element]
    known = [(e, lexicon.entry("element", e.entry)) for e in elements]
    for room, words in {entry.room: e.words for e, entry in known if entry and entry.room}.items():
        if room not in seen:
            yield PlaceSaid(words, room, findings[0].passage, 3, False, True, False, ("sort usual", f"named {room}"))


def says_here(reading: Reading, own: Anchors) -> bool:
    """ "In here", "up here": what was last entered is meant."""
    spans = [reading.passages[p].words for p in own.passages]
    return any(HERE & {w.text.lower().strip(".,;:?!") for w in reading.transcript.words[s.first : s.stop]} for s in spans)


def distance_features(reading: Reading, own: Anchors, others: Sequence[Anchors], place: PlaceSaid) -> dict[str, float]:
    """How far a place is named from the item, and what other items are there."""
    words, transcript = place.words, reading.transcript
    here = own.nearest(words)
    between = words_between(here, words)
    near = transcript.words[between.first : min(between.stop, between.first + 4 * FAR)]
    texts = [w.text for w in near]
    turn, home = transcript.turn_at(words.first), transcript.turn_at(here.first)
    return {
        "gap": min(FAR * 4, own.gap(words)),
        "before_item": words.first < here.first,
        "passages_before": max(-AHEAD, min(40, min((p - place.passage for p in own.passages), key=abs))),
        "before_first": min(60, own.first - place.passage),
        "same_passage": place.passage in own.passages,
        "same_turn": turn == home,
        "same_speaker": turn.speaker == home.speaker,
        "sentence_ends": min(20, sum(t.endswith((".", "?", "!", "…")) for t in texts)),
        "commas": min(20, sum(t.endswith((",", ";", ":", "—", "–")) for t in texts)),
        "in_other_item": sum(other.between(words) for other in others),
        "items_between": sum(other.between(between) for other in others),
        "items_in_passage": sum(place.passage in other.passages for other in others),
        "nearest_item": min((other.gap(words) for other in others), default=FAR),
    }


def element_features(findings: Sequence[Finding], place: PlaceSaid) -> dict[str, float]:
    """How a place is said to the item's own element, and whether the reader's rules give it."""
    words = place.words
    elements = [f.element for f in findings if f.element]
    given = [f.place.name.split(", ") for f in findings if f.place]
    return {
        "in_own_element": any(e.words.overlaps(words) for e in elements),
        "is_own_element": any(e.words == words for e in elements),
        "own_words": any(set(place.said.split()) & set(f"{e.said} {e.entry}".split()) for e in elements),
        "follows_own": min((words.first - e.words.stop for e in elements if words.first >= e.words.stop), default=FAR),
        "leads_own": min((e.words.first - words.stop for e in elements if e.words.first >= words.stop), default=FAR),
        "given": sum(place.said in names for names in given) / max(1, len(given)),
        "given_first": sum(place.said == names[0] for names in given) / max(1, len(given)),
    }


def place_features(place: PlaceSaid, entered: Sequence[int]) -> dict[str, float]:
    """What a place is by itself, and what was entered since; `entered` are the levels of those places."""
    return {
        "level": place.level,
        "enters": place.enters,
        "indoors": place.indoors,
        "owned": place.owned,
        "words": len(place.said.split()),
        "entered_since": len(entered),
        "entered_outer_since": sum(level <= place.level for level in entered),
        "entered_same_since": sum(level == place.level for level in entered),
        "rooms_since": sum(level in (3, 4) for level in entered),
    }


def joint_facts(findings: Sequence[Finding], place: PlaceSaid, lexicon: Matcher) -> Iterator[str]:
    """Named facts of item and place together."""
    sort = f"{place.level}{' indoors' if place.indoors else ''}"
    last = place.said.split()[-1]
    for name in {f.element.entry for f in findings if f.element}:
        entry = lexicon.entry("element", name)
        pack = entry.pack if entry else "none"
        yield f"element {name} {sort}"
        yield f"head {name.split()[-1]} {sort}"
        yield f"head {name.split()[-1]} in {last}"
        yield f"pack {pack} {sort}"
        yield f"pack {pack} in {last}"
        if entry and entry.room:
            yield f"room {entry.room == place.said} {sort}"


def among_neighbours(
    options: Sequence[Sequence[Option[PlaceSaid]]], chances: Sequence[Sequence[float]], order: Sequence[int]
) -> list[list[dict[str, float]]]:
    """Features for the second weighing; `order` are the items in the order they are told."""
    likely = [{o.what.said: c for o, c in zip(group, cs, strict=True)} for group, cs in zip(options, chances, strict=True)]
    rank = {number: n for n, number in enumerate(order)}
    out = []
    for number, (group, own) in enumerate(zip(options, chances, strict=True)):
        told = {f"before_{k}": rank[number] - k for k in range(1, BEFORE + 1)}
        told |= {f"after_{k}": rank[number] + k for k in range(1, AFTER + 1)}
        others = {name: likely[order[at]] if 0 <= at < len(order) else None for name, at in told.items()}
        out.append(
            [row | beside(own, n) | elsewhere(others, group[n].what.said) for n, row in enumerate(o.features for o in group)]
        )
    return out


def beside(chances: Sequence[float], at: int) -> dict[str, float]:
    """A chance of the first weighing beside those of the other places of the item."""
    others = [c for n, c in enumerate(chances) if n != at]
    return {
        "own": chances[at],
        "lead": chances[at] - max(others, default=0.0),
        "likelier": float(sum(c > chances[at] for c in others)),
    }


def elsewhere(others: dict[str, dict[str, float] | None], said: str) -> dict[str, float]:
    """How likely the items told before and after are at a place."""
    return {name: NO_ITEM if likely is None else likely.get(said, NOT_THERE) for name, likely in others.items()}


def chosen_places(options: Sequence[Option[PlaceSaid]], chances: Sequence[float]) -> tuple[PlaceSaid, ...]:
    """The likeliest place and others likely too that say more: spots first, the likeliest room, side or floor last.

    Lines are gathered under the last one. On the nine and the twelve, left out of the fit: a name told is right in 0.78 of the
    cases at 1.2 names an item, the last one in 0.77; with every name from a chance of 0.35 0.68 at 1.9, the last one in 0.74.
    """
    weighed = sorted(zip(chances, range(len(options)), strict=True), key=lambda pair: (-pair[0], pair[1]))
    taken: list[PlaceSaid] = []
    for chance, n in weighed:
        place = options[n].what
        if len(taken) < MOST and (not taken or chance >= least(place, taken)):
            taken = with_place(taken, place)
    spots = sorted((p for p in taken if p.level >= SPOT), key=lambda p: -p.level)
    return (*spots, *(p for p in reversed(taken) if p.level < SPOT))


def least(place: PlaceSaid, taken: Sequence[PlaceSaid]) -> float:
    """The chance from which a place is told beside those taken already."""
    return LIKELY_AREA if place.level < SPOT and any(p.level < SPOT for p in taken) else LIKELY


def with_place(taken: Sequence[PlaceSaid], place: PlaceSaid) -> list[PlaceSaid]:
    """The places taken and one more; of two of which one says all that the other says, the fuller stays."""
    words = set(place.said.split())
    if any(words <= set(other.said.split()) for other in taken):
        return list(taken)
    return [*(other for other in taken if not set(other.said.split()) < words), place]
