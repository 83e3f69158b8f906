"""Numbers as people say them: "thirty-eight", "two and a half", "two point four", "one-fifty", "a couple", "12", "1/2"."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from memo2list.reading.words import ends_clause, plain

ONES = {w: n for n, w in enumerate(
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen".split())}  # fmt: skip
TENS = {w: 10 * (n + 2) for n, w in enumerate("twenty thirty forty fifty sixty seventy eighty ninety".split())}
TENS["fourty"] = 40
SCALES = {"hundred": 100, "thousand": 1000}
PARTS = {"half": 2, "halves": 2, "third": 3, "thirds": 3, "quarter": 4, "quarters": 4, "eighth": 8, "eighths": 8,
         "sixteenth": 16, "sixteenths": 16, "tenth": 10, "tenths": 10}  # fmt: skip
GLYPHS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
GROUPS = {"couple": 2, "pair": 2, "dozen": 12}
DECIMALS = {**{w: n for w, n in ONES.items() if n < 10}, "oh": 0, "nought": 0}
BIG_UNITS = frozenset("mm mil mils millimetre millimetres millimeter millimeters square".split())  # "three fifty mil"
GLUED = re.compile(r"(\d+(?:[.,]\d+)?)(mm|cm|m|ft|in|yd|x)(\d+(?:[.,]\d+)?)?(mm|cm|m|ft|in|yd)?")
DECIMAL_COMMA = re.compile(r"\d+,\d{1,2}")  # "2,5"; three figures after it are thousands
FEET_INCHES = re.compile(r"(\d+)['’′](\d+)(?:[\"”″]|'')?")


@dataclass(frozen=True, slots=True)
class Token:
    """A spoken word, or one piece of a hyphenated one, with the number of the word it belongs to."""

    text: str
    word: int
    closes: bool = False  # a comma or full stop follows


@dataclass(frozen=True, slots=True)
class Number:
    """A number said in tokens `first` up to `stop`."""

    value: Fraction
    first: int
    stop: int
    vague: bool = False  # "forty-ish", "a couple"
    group: bool = False  # "a dozen", "a pair": counts by themselves
    part: bool = False  # a bare fraction: "half", "three-eighths"


def tokens(words: Sequence[str], offset: int = 0) -> list[Token]:
    """Words (with punctuation) as tokens; hyphens split, glyphs spelled out."""
    found: list[Token] = []
    for number, text in enumerate(words):
        for glyph, spelled in GLYPHS.items():
            text = text.replace(glyph, f" {spelled}")
        marks = ends_clause(text)
        pieces = [q for p in plain(text).replace("-", " ").split() for q in unglued(p)]
        if text.rstrip(".,;:?!").endswith(("'", "’", '"', "”")) and pieces and pieces[-1].isdigit():
            pieces.append("feet" if text.rstrip(".,;:?!").endswith(("'", "’")) else "inches")
        found += [Token(p, offset + number, marks and n == len(pieces)) for n, p in enumerate(pieces, 1)]
    return found


def unglued(text: str) -> list[str]:
    """Figures and units written as one word, apart.

    >>> unglued("600mm"), unglued("2x4"), unglued("12'6"), unglued("deck")
    (['600', 'mm'], ['2', 'x', '4'], ['12', 'feet', '6', 'inches'], ['deck'])
    """
    if not text[0].isdigit():
        return [text]
    if feet := FEET_INCHES.fullmatch(text):
        return [feet[1], "feet", feet[2], "inches"]
    glued = GLUED.fullmatch(text)
    return [piece for piece in glued.groups() if piece] if glued else [text]


def digits(text: str) -> Fraction | None:
    """A number written in figures: 12, 1,200, 3.5, 3,5, 1/2.

    >>> digits("3.5"), digits("3,5"), digits("1,200"), digits("1/2"), digits("x")
    (Fraction(7, 2), Fraction(7, 2), Fraction(1200, 1), Fraction(1, 2), None)
    """
    if len(text) > 12 or not text[:1].isdigit() or text.count("/") > 1:
        return None
    try:
        return Fraction(text.replace(",", "." if DECIMAL_COMMA.fullmatch(text) else ""))
    except (ValueError, ZeroDivisionError):
        return None


def whole(said: Sequence[Token], at: int) -> tuple[int, int] | None:
    """A whole number in words from token `at`: its value and where it stops."""
    total, current, here, seen = 0, 0, at, False
    while here < len(said):
        text = said[here].text
        if text in ONES and (not seen or current % 100 in TENS.values() or (current % 100 == 0 and current)):
            current += ONES[text]
        elif text in TENS and (not seen or (current and current % 100 == 0)):
            current += TENS[text]
        elif text in SCALES and (seen or (here > 0 and said[here - 1].text == "a") or bare_hundred(said, here)):
            current = max(1, current) * SCALES[text]
            if text == "thousand":
                total, current = total + current, 0
        elif not (
            text == "and"
            and seen
            and current % 100 == 0
            and current
            and here + 1 < len(said)
            and said[here + 1].text in ONES | TENS
        ):
            break
        seen = seen or text != "and"
        here += 1
        if said[here - 1].closes:
            break
    return (total + current, here) if seen else None


def bare_hundred(said: Sequence[Token], at: int) -> bool:
    """ "hundred and fifty mil": the word that says one is swallowed."""
    return [t.text for t in said[at : at + 2]] == ["hundred", "and"] and at + 2 < len(said) and said[at + 2].text in ONES | TENS


def fraction(said: Sequence[Token], at: int) -> tuple[Fraction, int] | None:
    """A fraction in words from token `at`: "half", "a quarter", "three eighths", "five sixteenths"."""
    here = at + 1 if said[at].text in ("a", "an", "one") else at
    top = 1
    if here == at and said[at].text in ONES and said[at].text not in ("zero",):
        top, here = ONES[said[at].text], at + 1
    if here < len(said) and said[here].text in PARTS and not (top == 1 and here == at and said[here].text.endswith("s")):
        bottom = PARTS[said[here].text]
        if top == 1 and bottom in (3, 10) and here == at:
            return None  # "third", "tenth" alone are ordinals
        if top > bottom:
            return None  # "five quarter" is a board thickness
        return Fraction(top, bottom), here + 1
    return None


def numbers(said: Sequence[Token]) -> list[Number]:
    """All numbers in order, never overlapping."""
    found: list[Number] = []
    at = 0
    while at < len(said):
        one = number_at(said, at)
        if one:
            found.append(one)
        at = one.stop if one else at + 1
    return found


def number_at(said: Sequence[Token], at: int) -> Number | None:
    text = said[at].text
    if text == "both":
        return Number(Fraction(2), at, at + 1, group=True)
    if text in ("a", "an", "half") or text in GROUPS:
        group = group_at(said, at)
        if group:
            return group
    part = fraction(said, at)
    if part:
        return Number(part[0], at, part[1], part=True)
    figures = digits(text)
    if figures is not None:
        return mixed(said, Number(figures, at, at + 1, part=figures.denominator > 1 and "/" in text))
    if point := decimals(said, at):
        return Number(point[0], at, point[1])
    if hundreds := spoken_hundreds(said, at):
        return Number(Fraction(hundreds[0]), at, hundreds[1])
    spelled = whole(said, at + 1 if text == "a" and at + 1 < len(said) and said[at + 1].text in SCALES else at)
    if spelled is None:
        return None
    point = decimals(said, spelled[1])
    if point and not said[spelled[1] - 1].closes:
        return Number(spelled[0] + point[0], at, point[1])
    return mixed(said, Number(Fraction(spelled[0]), at, spelled[1]))


def decimals(said: Sequence[Token], at: int) -> tuple[Fraction, int] | None:
    """What follows the decimal point, from the word "point": "point four", "point oh five"."""
    here, told = at + 1, ""
    if at >= len(said) or said[at].text != "point" or said[at].closes:
        return None
    while here < len(said) and said[here].text in DECIMALS and not (told and said[here - 1].closes):
        told += str(DECIMALS[said[here].text])
        here += 1
    return (Fraction(int(told), 10 ** len(told)), here) if told else None


def spoken_hundreds(said: Sequence[Token], at: int) -> tuple[int, int] | None:
    """ "one-fifty", "two-ten": hundreds and what is left of them, said as one word or before a unit as small as that."""
    if said[at].text not in ONES or not 1 <= ONES[said[at].text] <= 9 or at + 1 >= len(said) or said[at].closes:
        return None
    rest = whole(said, at + 1)
    if rest is None or not 10 <= rest[0] <= 99:
        return None
    following = said[rest[1]].text if rest[1] < len(said) else ""
    if said[at].word != said[at + 1].word and following not in BIG_UNITS:
        return None
    return ONES[said[at].text] * 100 + rest[0], rest[1]


def group_at(said: Sequence[Token], at: int) -> Number | None:
    """ "a couple", "a dozen", "half a dozen", "a pair"."""
    texts = [t.text for t in said[at : at + 3]]
    if texts[0] == "half" and "dozen" in texts[1:3]:
        return Number(Fraction(6), at, at + 1 + texts[1:3].index("dozen") + 1, group=True)
    here = at + 1 if texts[0] in ("a", "an") else at
    if "couple" in texts and [t.text for t in said[here : here + 3]] == ["couple", "of", "dozen"]:
        return Number(Fraction(24), at, here + 3, vague=True, group=True)
    if here < len(said) and said[here].text in GROUPS and (here > at or said[here].text == "dozen"):
        return Number(Fraction(GROUPS[said[here].text]), at, here + 1, vague=said[here].text == "couple", group=True)
    return None


def mixed(said: Sequence[Token], number: Number) -> Number:
    """Extend by "and a half", "and three quarters", "1/2", "dozen" and "ish"."""
    value, here, vague = number.value, number.stop, number.vague
    if here < len(said) and said[here].text == "and" and here + 1 < len(said):
        part = fraction(said, here + 1)
        if part and part[0] < 1:
            value, here = value + part[0], part[1]
    elif here < len(said) and value.denominator == 1 and (figures := digits(said[here].text)) is not None and figures < 1:
        value, here = value + figures, here + 1
    if here < len(said) and said[here].text == "dozen":
        return Number(value * 12, number.first, here + 1, vague, group=True)
    if here < len(said) and said[here].text in ("ish", "odd"):
        here, vague = here + 1, True
    return Number(value, number.first, here, vague, number.group, number.part)
