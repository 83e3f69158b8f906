"""Quantities as said: counts, lengths, areas, volumes, sizes and clearances, each with its words.

Units and their kinds come from pint; nominal lumber sizes are materials (`vocabulary/lumber.py` has their dressed sizes).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from memo2list.reading.numbers import ONES, TENS, Token, digits, fraction, numbers, tokens
from memo2list.records import Quantity, QuantityKind, WordRange

UNITS = {
    "foot": "ft", "feet": "ft", "ft": "ft", "footer": "ft", "footers": "ft",
    "inch": "in", "inches": "in", "in.": "in", "yard": "yd", "yards": "yd", "yd": "yd",
    "metre": "m", "metres": "m", "meter": "m", "meters": "m", "m": "m",
    "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm", "cm": "cm",
    "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm", "mil": "mm", "mils": "mm", "mm": "mm",
    "gallon": "gal", "gallons": "gal", "litre": "l", "litres": "l", "liter": "l", "liters": "l",
}  # fmt: skip
PINT_NAMES = {"ft": "foot", "in": "inch", "yd": "yard", "gal": "gallon", "l": "litre"}
OTHER_UNITS = frozenset(
    "dollars dollar bucks buck quid pounds pound grand cents percent degrees degree minutes minute hours hour days day weeks "
    "week months month years year o'clock am pm times thousand hundred year-old psi amp amps volts watts horsepower k".split()
)  # numbers of these are no quantity of building work
COUNT_WORDS = frozenset({"of", "or", "more", "places", "spots"})
ABOUT = frozenset("about around roughly maybe approximately nearly almost say call probably another like good easily".split())
RUNS = frozenset("across down along on at up wide long high deep tall by over round around".split())
BODILY = frozenset({"through", "on", "in", "wrong"})  # "put a foot through it" is no measure
LARGEST_FEET = 24
FEWEST_MILLIMETRES = 100
FEWEST_SQUARE = 50  # "three hundred square" are square feet; a few squares are roofing
GAPS = frozenset({"gap", "gaps", "clearance", "space", "spacing", "clear", "apart", "between"})
THICK = {Fraction(5, 4), *map(Fraction, (1, 2, 3, 4, 5, 6, 8))}
WIDE = {*map(Fraction, (1, 2, 3, 4, 5, 6, 8, 10, 12))}


@dataclass(frozen=True, slots=True)
class Measure:
    """A number with the unit that follows it, still among tokens."""

    value: Fraction | tuple[Fraction, Fraction]
    unit: str  # "" while none is known
    first: int
    stop: int
    about: bool = False
    group: bool = False
    nominal: bool = False  # a trade size such as two-by-six


@lru_cache(maxsize=64)
def kind_of(unit: str) -> QuantityKind:
    """What a unit measures, by pint's dimensions.

    >>> kind_of("ft"), kind_of("sq ft"), kind_of("gal"), kind_of("ea")
    ('length', 'area', 'volume', 'count')
    """
    if unit == "ea":
        return "count"
    squared, base = unit.startswith("sq "), unit.removeprefix("sq ").removeprefix("cu ")
    powers = dict(registry().Quantity(1, PINT_NAMES.get(base, base)).dimensionality)
    power = powers.get("[length]", 0) * (2 if squared else 3 if unit.startswith("cu ") else 1)
    return {1: "length", 2: "area", 3: "volume"}[int(power)]  # type: ignore[return-value]


@lru_cache(maxsize=1)
def registry():  # type: ignore[no-untyped-def]
    import pint

    return pint.UnitRegistry()


def read_quantities(words: Sequence[str], offset: int = 0) -> tuple[tuple[Quantity, ...], tuple[Quantity, ...]]:
    """Quantities of a passage, and apart from them its trade sizes (kind "size", a material).

    `words` are as heard, with punctuation; `offset` is the number of the first one in the transcript.
    """
    said = tokens(words, offset)
    found = [Measure(n.value, "", n.first, n.stop, n.vague, n.group) for n in numbers(said)]
    for step in STEPS:
        found = step(said, found)
    records = [record(said, words, offset, m) for m in found]
    return tuple(r for r in records if r.kind != "size"), tuple(r for r in records if r.kind == "size")


def text_at(said: Sequence[Token], at: int) -> str:
    return said[at].text if 0 <= at < len(said) else ""


def single_units(said: Sequence[Token], found: list[Measure]) -> list[Measure]:
    """ "a foot", "an inch", "foot and a half": the unit itself says one."""
    taken = {t for m in found for t in range(m.first, m.stop)}
    extra = [Measure(Fraction(1), "", n, n + 1) for n in range(len(said) - 1) if says_one(said, n) and n not in taken]
    extra = [m for m in extra if not follows_part(said, found, m.first)]
    bare = [
        Measure(Fraction(1), "", n, n)
        for n in range(len(said) - 2)
        if said[n].text in UNITS
        and said[n + 1].text == "and"
        and (said[n + 2].text == "a" or ((part := fraction(said, n + 2)) is not None and part[0] < 1))
        and text_at(said, n - 1) not in ("a", "an")
        and not any(m.stop == n for m in found)
    ]
    return sorted([*found, *extra, *bare], key=lambda m: m.first)


def says_one(said: Sequence[Token], at: int) -> bool:
    bodily = said[at + 1].text == "foot" and text_at(said, at + 2) in BODILY
    return said[at].text in ("a", "an", "per") and said[at + 1].text in UNITS and not bodily


def small_parts(said: Sequence[Token], found: list[Measure]) -> list[Measure]:
    """ "three-eighths", "a sixteenth": eighths and sixteenths are inches where no unit is said (common practice)."""
    return [
        replace(m, unit="in") if not m.unit and text_at(said, m.stop - 1).startswith(("eighth", "sixteenth")) else m
        for m in found
    ]


def same_unit(said: Sequence[Token], found: list[Measure]) -> list[Measure]:
    """ "twelve foot down the side and fourteen across the front": the second takes the unit of the first."""
    out: list[Measure] = []
    for m in found:
        if not m.unit and not m.group and out and out[-1].unit and text_at(said, m.stop) in RUNS:
            m = replace(m, unit=out[-1].unit)
        out.append(m)
    return out


def corrected(said: Sequence[Token], found: list[Measure]) -> list[Measure]:
    """ "forty-ish, call it thirty-eight foot": the later figure stands."""
    return [
        m
        for n, m in enumerate(found)
        if not (n + 1 < len(found) and not m.unit and said[m.first].text not in ("a",) and corrects(said, m, found[n + 1]))
    ]


def corrects(said: Sequence[Token], old: Measure, new: Measure) -> bool:
    if text_at(said, old.first) == "both":
        return False
    between = " ".join(t.text for t in said[old.stop : new.first])
    if between in ("no", "uh no", "um no", "sorry") or (
        not between and plain_numbers(old, new) and one(new) == one(old) + 1 and not new.unit
    ):
        return True  # "four, no, five"; "one, two, three" counted aloud
    return any(phrase in between for phrase in ("call it", "make that", "no sorry", "make it", "i mean"))


def follows_part(said: Sequence[Token], found: list[Measure], at: int) -> bool:
    return any(m.stop == at or (m.stop == at - 1 and text_at(said, at - 1) == "of") for m in found)


def nominal_sizes(said: Sequence[Token], found: list[Measure]) -> list[Measure]:
    """ "two-by-six", "five-quarter by twelve": trade sizes, unless a unit follows."""
    found = board_thickness(said, found)
    out: list[Measure] = []
    for m in found:
        last = out[-1] if out else None
        joined = last is not None and m.first == last.stop + 1 and text_at(said, last.stop) in ("by", "x")
        if joined and last is not None and trade_size(said, last, m):
            out[-1] = Measure((one(last), one(m)), "in", last.first, m.stop, nominal=True)
        else:
            out.append(m)
    return out


def board_thickness(said: Sequence[Token], found: list[Measure]) -> list[Measure]:
    """ "five quarter" as a thickness of an inch and a quarter."""
    return absorb(
        said,
        [
            replace(m, value=Fraction(5, 4), stop=m.stop + 1, nominal=True)
            if m.value == 5 and text_at(said, m.stop) in ("quarter", "quarters")
            else m
            for m in found
        ],
    )


def one(measure: Measure) -> Fraction:
    return measure.value if isinstance(measure.value, Fraction) else measure.value[0]


def trade_size(said: Sequence[Token], thick: Measure, wide: Measure) -> bool:
    if isinstance(thick.value, tuple) or isinstance(wide.value, tuple) or text_at(said, wide.stop) in UNITS:
        return False
    hyphened = said[thick.first].word == said[wide.stop - 1].word
    small = thick.value <= 6 and (thick.value in (1, 2, 4, 5, 6) or thick.nominal) and (hyphened or thick.value <= wide.value)
    return thick.value in THICK and wide.value in WIDE and small


def units(said: Sequence[Token], found: list[Measure]) -> list[Measure]:
    """Give each number the unit that follows it: "six feet", "half an inch", "200 square feet", "foot and a half"."""
    return [m if m.nominal else with_unit(said, m) for m in found]


def with_unit(said: Sequence[Token], m: Measure) -> Measure:
    here = m.stop
    while text_at(said, here) in ("a", "an", "of", "full", "good", "linear", "running", "lineal") and here < m.stop + 2:
        here += 1
    squared = text_at(said, here) in ("square", "sq")
    here += squared
    unit = UNITS.get(text_at(said, here), "")
    if squared and not unit and not m.group and one(m) >= FEWEST_SQUARE:
        return replace(m, unit="sq ft", stop=here)  # "three hundred square"
    if not unit or (here > m.stop and said[m.stop - 1].closes):
        return m
    m = replace(m, unit=f"sq {unit}" if squared else unit, stop=here + 1)
    return and_a_half(said, m)


def and_a_half(said: Sequence[Token], m: Measure) -> Measure:
    """ "a foot and a half", "an inch and three-eighths"."""
    if text_at(said, m.stop) == "and" and m.stop + 1 < len(said) and isinstance(m.value, Fraction):
        part = fraction(said, m.stop + 1)
        if part and part[0] < 1 and text_at(said, part[1]) not in UNITS:
            return replace(m, value=m.value + part[0], stop=part[1])
    return m


def absorb(said: Sequence[Token], found: list[Measure]) -> list[Measure]:
    """Drop numbers that a longer measure has swallowed."""
    out: list[Measure] = []
    for m in found:
        if not out or m.first >= out[-1].stop:
            out.append(m)
    return out


def feet_and_inches(said: Sequence[Token], found: list[Measure]) -> list[Measure]:
    """ "three foot six", "five feet two inches" as one value in inches."""
    out: list[Measure] = []
    for m in found:
        last = out[-1] if out else None
        gap = m.first - last.stop if last else 9
        near = gap == 0 or (gap == 1 and last is not None and text_at(said, last.stop) == "and" and m.unit == "in")
        if (
            last
            and near
            and last.unit == "ft"
            and m.unit in ("in", "")
            and plain_pair(last, m)
            and not said[last.stop - 1].closes
        ):
            out[-1] = replace(last, value=one(last) * 12 + one(m), unit="in", stop=m.stop)
        else:
            out.append(m)
    return out


def metres_and_more(said: Sequence[Token], found: list[Measure]) -> list[Measure]:
    """ "a metre twenty", "two metres forty", "a metre three": the second number tells centimetres, or tenths if it is small."""
    out: list[Measure] = []
    for m in found:
        last = out[-1] if out else None
        next_to = last is not None and m.first == last.stop and not said[last.stop - 1].closes and not m.group
        if last and next_to and last.unit == "m" and not m.unit and plain_numbers(last, m) and alone(said, m):
            part = one(m) / (10 if one(m) < 10 else 100)
            out[-1] = replace(last, value=one(last) + part, stop=m.stop)
        else:
            out.append(m)
    return out


def alone(said: Sequence[Token], m: Measure) -> bool:
    """A whole number below a hundred that counts nothing itself: not "two metres, four of them"."""
    value = one(m)
    return value.denominator == 1 and 0 < value < 100 and (value >= 10 or text_at(said, m.stop) not in COUNT_WORDS)


def plain_pair(feet: Measure, inches: Measure) -> bool:
    return isinstance(feet.value, Fraction) and isinstance(inches.value, Fraction) and inches.value < 12 and not inches.group


def ranges(said: Sequence[Token], found: list[Measure]) -> list[Measure]:
    """ "twelve to eighteen inches", "four, five inches", "two or three"."""
    out: list[Measure] = []
    for m in found:
        last = out[-1] if out else None
        if last and joins_range(said, last, m):
            out[-1] = replace(m, value=(one(last), one(m)), first=last.first, about=True)
        else:
            out.append(m)
    return out


def joins_range(said: Sequence[Token], low: Measure, high: Measure) -> bool:
    if not plain_numbers(low, high) or low.nominal or high.nominal or one(low) >= one(high):
        return False
    between = [t.text for t in said[low.stop : high.first]]
    if between in (["to"], ["or"], ["or", "maybe"], ["maybe"]):
        return low.unit in ("", high.unit)
    return not between and not low.unit and bool(high.unit) and one(high) <= one(low) * 2 and one(low) > 1


def plain_numbers(a: Measure, b: Measure) -> bool:
    return isinstance(a.value, Fraction) and isinstance(b.value, Fraction)


def dimensions(said: Sequence[Token], found: list[Measure]) -> list[Measure]:
    """ "ten by twelve": both take the unit of the second, feet if none is said (inches for small trade sizes)."""
    out = list(found)
    for n in range(len(out) - 1):
        a, b = out[n], out[n + 1]
        if not a.nominal and not b.nominal and b.first == a.stop + 1 and text_at(said, a.stop) in ("by", "x"):
            usual = usual_units(one(a), one(b))
            both = b.unit or a.unit
            out[n] = replace(a, unit=a.unit or both or usual[0], about=a.about or not b.unit)
            out[n + 1] = replace(b, unit=both or usual[1])
    return out


def usual_units(first: Fraction, second: Fraction) -> tuple[str, str]:
    """Two sides without a unit are feet, or inches where the larger is more than `LARGEST_FEET` (measured on walkthroughs).

    In the hundreds they are millimetres, a small one beside such a one metres: "two point four by six hundred".

    >>> usual_units(Fraction(4), Fraction(6)), usual_units(Fraction(12, 5), Fraction(600))
    (('ft', 'ft'), ('m', 'mm'))
    """
    larger = max(first, second)
    if larger < FEWEST_MILLIMETRES:
        return ("ft", "ft") if larger <= LARGEST_FEET else ("in", "in")
    return ("m" if first < 10 else "mm", "m" if second < 10 else "mm")


def counts(said: Sequence[Token], found: list[Measure]) -> list[Measure]:
    """Numbers without a unit are counts of something, unless they count money, time or the like."""
    out = []
    for m in found:
        if m.unit:
            out.append(m)
        elif is_count(said, m):
            out.append(replace(m, unit="ea"))
    return out


def is_count(said: Sequence[Token], m: Measure) -> bool:
    low = one(m)
    following = [text_at(said, m.stop + k) for k in range(2)]
    if following[0] in OTHER_UNITS or (following[1] in OTHER_UNITS and not said[min(m.stop, len(said) - 1)].closes):
        return False
    before = text_at(said, m.first - 1)
    if before in ("unit", "room", "apartment", "number", "code", "nineteen", "twenty", "at", "grade", "flat", "plot", "at"):
        return False
    if text_at(said, m.stop) in TENS or text_at(said, m.stop) in ONES or digits(text_at(said, m.stop)) is not None:
        return said[m.stop - 1].closes and low > 1  # "nineteen twenty" is a year
    if text_at(said, m.first) == "both":
        return following[0] not in ("sides", "ends", "ways", "and")
    if low.denominator != 1 or low < 1 or low > 400:
        return False
    return low > 1 or before in ("only", "the", "just") or following[0] == "of"


def about(said: Sequence[Token], found: list[Measure]) -> list[Measure]:
    return [replace(m, about=True) if any(text_at(said, m.first - k) in ABOUT for k in (1, 2)) else m for m in found]


STEPS = (
    nominal_sizes, single_units, units, small_parts, absorb, feet_and_inches, metres_and_more, ranges, dimensions, same_unit,
    corrected, counts, about,
)  # fmt: skip


def record(said: Sequence[Token], words: Sequence[str], offset: int, m: Measure) -> Quantity:
    first, stop = said[m.first].word, said[m.stop - 1].word + 1
    unit = m.unit or "ea"
    kind: QuantityKind = "size" if m.nominal else kind_of(unit)
    near = {t.text for t in said[max(0, m.first - 3) : m.stop + 3]}
    if kind == "length" and near & GAPS:
        kind = "clearance"
    text = " ".join(words[first - offset : stop - offset])
    return Quantity(figures(m.value), unit, kind, text.strip(".,;:?!"), WordRange(first, stop), m.about)


def figures(value: Fraction | tuple[Fraction, Fraction]) -> float | tuple[float, float]:
    if isinstance(value, tuple):
        return tidy(value[0]), tidy(value[1])
    return tidy(value)


def tidy(value: Fraction) -> float:
    number = float(value)
    return int(number) if math.isclose(number, round(number)) else round(number, 4)
