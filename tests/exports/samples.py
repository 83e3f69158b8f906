"""Lists of our own invention that the export tests write."""

import random

from memo2list.records import Caution, Flag, Item, PunchList, Quantity, Quote, Recording, SetAside, WordRange
from memo2list.timing import TimeSpan

SHA = "a" * 64
RECORDING = Recording("larkfield walk.m4a", SHA, 301_200, "whisper base int8")


def quote(text: str, start_ms: int = 12_340, length_ms: int = 2_860, recording: str = SHA) -> Quote:
    return Quote(recording, WordRange(0, len(text.split())), TimeSpan(start_ms, start_ms + length_ms), text)


def item(number: int = 1, **given: object) -> Item:
    """One item with everything an item can have, unless told otherwise."""
    values: dict[str, object] = {
        "number": number,
        "key": f"key{number}",
        "kind": "problem",
        "title": "Fascia: rot — replace",
        "element": "fascia",
        "heard": ("fascia board",),
        "issues": ("rot",),
        "actions": ("replace",),
        "location": "rear elevation",
        "quantities": (Quantity(12, "ft", "length", "about twelve feet", WordRange(3, 6), approximate=True),),
        "materials": ("primed pine",),
        "certainty": "stated",
        "safety": False,
        "by": "A",
        "quotes": (quote("the fascia board is rotten, about twelve feet of it"),),
        "confidence": 0.93,
    }
    return Item(**(values | given))  # type: ignore[arg-type]


def sample_list() -> PunchList:
    """A small list that has one of everything."""
    items = (
        item(
            1,
            questions=("Which side of the downspout?",),
            cautions=(Caution("Treat old paint as leaded until tested.", "US EPA 40 CFR 745"),),
            flags=(Flag("sounds-like", 'heard "fashion board", taken as fascia board'),),
            review="kept",
        ),
        item(
            2,
            kind="work",
            title="Newel post — tighten",
            element="newel post",
            heard=("newel",),
            issues=(),
            actions=("tighten",),
            location="front porch",
            quantities=(Quantity(2, "ea", "count", "a couple", WordRange(0, 2)),),
            materials=(),
            certainty="possible",
            safety=True,
            by="A+B",
            quotes=(quote("we could maybe tighten the newels", 40_000),),
        ),
        item(
            3,
            kind="verify",
            title="Crème brûlée colour: unknown — match",
            element="trim",
            issues=("unknown colour",),
            actions=("match",),
            location=None,
            quantities=(Quantity((2.5, 3.25), "in", "size", "two and a half to three and a quarter", WordRange(0, 9)),),
            certainty="conditional",
            questions=("Which colour?",),
            quotes=(quote('=HYPERLINK if that’s <b>crème</b> & "ivory" we\'d match it', 65_000),),
            note="-2 sample pots\nask for the tin",
            state="done",
        ),
    )
    aside = (SetAside("negated", "soffit", ("rot",), (), (quote("no rot in the soffit", 90_000),), "no"),)
    return PunchList((RECORDING,), items, aside, (Flag("quiet", "the recording is quiet"),))


def long_list(count: int, seed: int = 7) -> PunchList:
    """Many items in some twenty places, always the same for one seed."""
    rng = random.Random(seed)
    elements = "fascia soffit gutter downspout door window sill tread riser newel handrail baluster wall ceiling floor".split()
    issues = "rot crack leak peeling paint|loose joint|water stain|open seam|missing piece".replace(" ", "|").split("|")
    items = []
    for number in range(1, count + 1):
        element, issue = rng.choice(elements), rng.choice(issues)
        start = number * 7_000
        items.append(
            item(
                number,
                key=f"{number:08x}",
                title=f"{element.capitalize()}: {issue} — repair",
                element=element,
                issues=(issue,),
                actions=("repair",),
                location=f"room {1 + number * 20 // (count + 1)}",
                certainty=rng.choice(("stated", "stated", "possible", "conditional")),
                quotes=(quote(f"so the {element} here has {issue}, I'd say we repair it " * rng.randint(1, 3), start),),
                questions=("How long?",) if rng.random() < 0.3 else (),
            )
        )
    return PunchList((RECORDING,), tuple(items), ())
