"""Every place a talk names, with facts about the words around it. Where an item is, listing decides.

Beside the places that `places.py` knows for certain these are elements that may stand for a place: led by a preposition
("the door to the shed"), or opening a statement ("Chimney. Flashing's gone.").
"""

from collections.abc import Iterator, Sequence

from memo2list.reading.exchanges import Exchange
from memo2list.reading.places import ANNOUNCING, FILLERS, LEVELS, POINTING, Named, PlaceNotes
from memo2list.reading.scene import Stage
from memo2list.records import PlaceSaid, Transcript

LEADING = frozenset(
    "in on at to of by under above behind beside near over below along underneath beneath against inside outside from into onto "
    "around round up down through for off between".split()
)
OPENING = 3  # words that may stand before an element that opens a statement


def places_said(
    transcript: Transcript, stages: Sequence[Stage], notes: Sequence[PlaceNotes], exchanges: Sequence[Exchange]
) -> tuple[PlaceSaid, ...]:
    """All places in order of their first word."""
    found: list[PlaceSaid] = []
    for stage, note in zip(stages, notes, strict=True):
        named = sorted([*note.named, *possible(stage, note.named)], key=lambda n: (n.words.first, n.words.stop))
        standing = {said for _, said, _ in note.after.levels}
        found += [place_said(transcript, stage, exchanges, n, named, n.said in standing) for n in named]
    return tuple(found)


def possible(stage: Stage, named: Sequence[Named]) -> Iterator[Named]:
    """Elements and places of a passage that the rules make no place of, but that may be meant as one."""
    for known in stage.of_kind("element", "place"):
        if any(n.words.overlaps(known.words) for n in named) or set(known.mention.said.split()) <= POINTING:
            continue
        at = known.words.first - stage.words.first
        before = [w for w in stage.said[max(0, at - 3) : at] if w not in FILLERS]
        opens = all(w in ANNOUNCING or w in FILLERS for w in stage.said[:at]) and at <= OPENING
        if known.kind == "place" or opens or (before and before[-1] in LEADING):
            yield Named(known.words, known.mention.said, LEVELS["spot"] + 1, False)


def place_said(
    transcript: Transcript, stage: Stage, exchanges: Sequence[Exchange], place: Named, named: Sequence[Named], stands: bool
) -> PlaceSaid:
    return PlaceSaid(
        place.words,
        place.said,
        stage.number,
        place.level,
        place.enters,
        place.indoors,
        place.owned,
        tuple(facts(transcript, stage, exchanges, place, named, stands)),
    )


def facts(
    transcript: Transcript, stage: Stage, exchanges: Sequence[Exchange], place: Named, named: Sequence[Named], stands: bool
) -> Iterator[str]:
    """What the passage says of a place by itself."""
    said = stage.said
    at, end = place.words.first - stage.words.first, place.words.stop - stage.words.first
    known = [k for k in stage.known if k.words.overlaps(place.words)]
    sort = f"{place.level} {'owned' if place.owned else 'enters' if place.enters else 'told'}"
    yield f"sort {sort}"
    yield from (f"is {k.kind} {k.entry.sense if k.kind == 'place' else ''}" for k in known)
    yield f"listed {any(k.mention.how != 'unlisted' for k in known)}"
    yield f"named {place.said}"
    yield f"last {place.said.split()[-1]}"
    before = [w for w in said[max(0, at - 3) : at] if w not in FILLERS]
    lead = before[-1] if before else "nothing"
    yield f"led {lead}"
    yield f"led {sort} {lead}"
    yield f"before {' '.join(said[max(0, at - 2) : at]) or 'nothing'}"
    yield f"after {' '.join(said[end : end + 1]) or 'nothing'}"
    yield f"after {' '.join(said[end : end + 2]) or 'nothing'}"
    yield f"words {min(4, end - at)}"
    yield f"opens {all(w in ANNOUNCING or w in FILLERS for w in said[:at])}"
    yield f"begins {' '.join(said[:1])}"
    yield f"begins {' '.join(said[:2])}"
    yield f"long {'short' if len(said) <= 4 else 'middle' if len(said) <= 10 else 'long'} {sort}"
    yield f"claims {min(2, len(stage.claims))} {sort}"
    yield f"stands {stands}"
    yield f"asks {exchanges[stage.number].asks}"
    yield f"others {min(3, len(named) - 1)}"
    yield from (f"cue {c}" for c in sorted(stage.cue_categories()))
    text = transcript.words[place.words.stop - 1].text
    yield f"ends {text[-1] if text and not text[-1].isalnum() else 'open'} {sort}"
    opens_turn = transcript.turn_at(place.words.first).words.first == stage.words.first
    yield f"opens turn {opens_turn} {sort}"
