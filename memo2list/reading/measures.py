"""Every measure a talk may tell, with facts about the words around it. Which item it belongs to, listing decides.

Beside the measures that are read for certain (`quantities.py`) these are numbers whose unit nobody says: "thirty-six high",
"Forty-two, that leaf", "ten by fourteen", "four, five of them". Each unit that they may have is a measure of its own.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from memo2list.reading.exchanges import Exchange
from memo2list.reading.numbers import Number, Token, numbers, tokens
from memo2list.reading.quantities import UNITS, figures, kind_of
from memo2list.reading.scene import Stage
from memo2list.records import Measured, Quantity, QuantityKind, Transcript, WordRange

AROUND = 3  # words before and after that are told with their distance
UNIT_REACH = 4  # passages in which a unit said may be meant by a bare number
REPEATED = 5  # passages in which the same measure or another of its unit is looked for
METRIC = frozenset({"m", "mm", "cm", "sq m", "l"})
FITTING = {"mm": (20, 3000), "m": (0, 40), "in": (0, 130), "ft": (1, 500)}  # bare numbers that a unit may be meant with
FREE = frozenset(
    "by x high long wide deep tall thick across on at along that there here or to total each and is it it's that's then yeah yes "
    "no probably maybe about for in the i i'd so".split()
)  # words after a number that it does not count
POINTED = frozenset(
    "this that other which the each another every any last next first same no good bad whole new old right left".split()
)


def measures_of(transcript: Transcript, stages: Sequence[Stage], exchanges: Sequence[Exchange]) -> tuple[Measured, ...]:
    """All measures in order of their first word; several with the same words are readings of one number."""
    metric = metric_share(stages)
    found: list[tuple[Stage, Quantity, str]] = []
    for stage in stages:
        said = tokens([w.text for w in transcript.words[stage.words.first : stage.words.stop]], stage.words.first)
        here = [(stage, q, "counted" if q.unit == "ea" else "said") for q in stage.quantities]
        here += [(stage, q, "size") for q in sides(stage.sizes)]
        near = unit_asked(stages, stage.number) or unit_near(stages, stage.number, found)
        here += [(stage, q, how) for q, how in guesses(said, stage, near)]
        found += sorted(here, key=lambda one: (one[1].words.first, one[1].words.stop))
    return tuple(
        Measured(q, stage.number, how, how == "size" or is_side(stage, q), told, *repeats(found, n))
        for n, (stage, q, how) in enumerate(found)
        for told in [tuple(facts(transcript, stage, exchanges, q, how, metric))]
    )


def is_side(stage: Stage, quantity: Quantity) -> bool:
    """ "Ten" and "twelve" of "ten by twelve"."""
    at, end = quantity.words.first - stage.words.first, quantity.words.stop - stage.words.first
    return bool({*stage.said[max(0, at - 1) : at], *stage.said[end : end + 1]} & {"by", "x"})


def metric_share(stages: Sequence[Stage]) -> float:
    units = [q.unit for s in stages for q in s.quantities if q.unit != "ea"]
    return sum(u in METRIC for u in units) / len(units) if units else 0.5


def sides(sizes: Sequence[Quantity]) -> Iterator[Quantity]:
    """ "four by six" may be a timber or a patch: its sides in feet."""
    for size in sizes:
        values = size.value if isinstance(size.value, tuple) else (size.value,)
        yield from (Quantity(v, "ft", "length", size.said, size.words) for v in dict.fromkeys(values))


def unit_near(stages: Sequence[Stage], number: int, found: Sequence[tuple[Stage, Quantity, str]]) -> str:
    """The unit said last before a passage, else the first one said in the next passage; "" if none is near."""
    for stage, quantity, how in reversed(found):
        if number - stage.number > UNIT_REACH:
            break
        if how == "said":
            return quantity.unit
    following = stages[number + 1].quantities if number + 1 < len(stages) else ()
    return next((q.unit for q in following if q.unit != "ea"), "")


def unit_asked(stages: Sequence[Stage], number: int) -> str:
    """The unit of "how many square feet", asked here or in the passage before; "" if none is."""
    for said in (stages[n].said for n in (number, number - 1) if n >= 0):
        for n in range(len(said) - 2):
            if said[n] == "how" and said[n + 1] in ("many", "much"):
                square = said[n + 2] in ("square", "sq")
                unit = UNITS.get("".join(said[n + 2 + square : n + 3 + square]), "")
                if unit:
                    return f"sq {unit}" if square else unit
    return ""


def guesses(said: Sequence[Token], stage: Stage, near: str) -> Iterator[tuple[Quantity, str]]:
    """Numbers without a unit, once for each unit they may have."""
    listed = numbers(said)
    for n, number in enumerate(listed):
        words = WordRange(said[number.first].word, said[number.stop - 1].word + 1)
        over = [q for q in stage.quantities if q.words.overlaps(words)]
        if any(q.unit != "ea" and unit_is_said(q) for q in over):
            continue
        following = listed[n + 1] if n + 1 < len(listed) else None
        if following and following.first == number.stop and following.value == number.value + 1:
            yield guessed((number.value, following.value), "ea", words.join(WordRange(words.first, words.stop + 1)), said), "or"
        elif following and following.first == number.stop and hundreds(said, number, following):
            value = number.value * 100 + following.value
            both = WordRange(words.first, said[following.stop - 1].word + 1)
            for unit in dict.fromkeys(u for u in (near, "mm") if u and u != "ea"):
                yield guessed(value, unit, both, said), "hundreds"
        taken = {(q.unit, q.value) for q in over}
        plain = figures(number.value)
        if is_one(said, number) and ("ea", 1) not in taken:
            yield guessed(number.value, "ea", words, said), "one"
        if number.group or said[number.first].text == "one" or not is_free(said, number):
            continue
        if near and (near, plain) not in taken:
            yield guessed(number.value, near, words, said), "inherited"
        for unit, (low, high) in FITTING.items():
            if unit != near and low <= number.value <= high and (unit, plain) not in taken:
                yield guessed(number.value, unit, words, said), "guessed"


def hundreds(said: Sequence[Token], first: Number, second: Number) -> bool:
    """ "four fifty", "nineteen eighty-one": numbers next to each other that may be one."""
    whole = first.value.denominator == second.value.denominator == 1 and not said[first.stop - 1].closes
    return whole and 1 <= first.value <= 19 and 10 <= second.value <= 99


def unit_is_said(quantity: Quantity) -> bool:
    return any(piece in UNITS for word in quantity.said.lower().split() for piece in word.strip(".,'\"").split("-"))


def is_one(said: Sequence[Token], number: Number) -> bool:
    """ "One strap", "just the one": not "this one"."""
    before = {t.text for t in said[max(0, number.first - 2) : number.first]}
    return said[number.first].text == "one" and number.value == 1 and (not before & POINTED or bool(before & {"just", "only"}))


def is_free(said: Sequence[Token], number: Number) -> bool:
    """Nothing stands after the number that it would count."""
    return number.stop >= len(said) or said[number.stop - 1].closes or said[number.stop].text in FREE


def guessed(value: Fraction | tuple[Fraction, Fraction], unit: str, words: WordRange, said: Sequence[Token]) -> Quantity:
    kind: QuantityKind = kind_of(unit)
    text = " ".join(t.text for t in said if t.word in words)
    return Quantity(figures(value), unit, kind, text, words, True)


def facts(
    transcript: Transcript, stage: Stage, exchanges: Sequence[Exchange], quantity: Quantity, how: str, metric: float
) -> Iterator[str]:
    """What the passage says of a measure by itself."""
    at, end = quantity.words.first - stage.words.first, quantity.words.stop - stage.words.first
    unit, said = quantity.unit, stage.said
    yield f"unit {unit}"
    yield f"how {how}"
    yield f"{unit} {how}"
    yield f"{how} {unit} {'metric' if metric > 0.6 else 'imperial' if metric < 0.4 else 'mixed'}"
    yield f"{how} {unit} {size_of(quantity)}"
    for n in range(max(0, at - AROUND), at):
        yield f"before {at - n} {said[n]}"
        yield f"before {said[n]}"
    for n in range(end, min(len(said), end + AROUND)):
        yield f"after {n - end + 1} {said[n]}"
        yield f"after {said[n]}"
        yield f"{unit} after {said[n]}"
    yield f"before {' '.join(said[max(0, at - 2) : at]) or 'nothing'}"
    yield f"after {' '.join(said[end : end + 2]) or 'nothing'}"
    yield f"whole {len(said) - (end - at) <= 1}"
    yield f"opens {at == 0}"
    yield f"asks {exchanges[stage.number].asks}"
    if quantity.approximate:
        yield "approximate"
    if isinstance(quantity.value, tuple):
        yield "range"
    yield from (f"cue {c}" for c in sorted(stage.cue_categories()))
    before = exchanges[stage.number - 1] if stage.number else None
    if before and before.asks:
        yield f"answers {how}"
    text = transcript.words[quantity.words.stop - 1].text
    yield f"ends {text[-1] if text and not text[-1].isalnum() else 'open'}"


def size_of(quantity: Quantity) -> str:
    value = quantity.value[1] if isinstance(quantity.value, tuple) else quantity.value
    return next(
        name
        for limit, name in ((1, "part"), (3, "few"), (12, "dozen"), (40, "tens"), (150, "hundred"), (1e12, "many"))
        if value <= limit
    )


def repeats(found: Sequence[tuple[Stage, Quantity, str]], at: int) -> tuple[int, int, int]:
    """How often the same measure is said near, and how many others of its unit are said soon before and soon after."""
    stage, quantity, how = found[at]
    near = [
        (s, q)
        for s, q, other in found[max(0, at - 30) : at + 30]
        if abs(s.number - stage.number) <= REPEATED and (other == "said" or how == other)
    ]
    same = sum(q.value == quantity.value and q.unit == quantity.unit and q.words != quantity.words for _, q in near)
    others = [q.words.first for _, q in near if q.unit == quantity.unit and q.value != quantity.value]
    first = quantity.words.first
    return same, sum(w < first for w in others), sum(w > first for w in others)
