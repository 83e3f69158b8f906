"""The words of the sheets: how a quantity, a place, a certainty or a date is written for a person."""

import datetime
from collections.abc import Sequence
from fractions import Fraction

from memo2list.records import Item, OfficeQuestion, Quantity, Quote
from memo2list.settings import PageStyle
from memo2list.timing import short_clock

VULGAR = {
    Fraction(1, 2): "½",
    Fraction(1, 4): "¼",
    Fraction(3, 4): "¾",
    Fraction(1, 3): "⅓",
    Fraction(2, 3): "⅔",
    Fraction(1, 8): "⅛",
    Fraction(3, 8): "⅜",
    Fraction(5, 8): "⅝",
    Fraction(7, 8): "⅞",
}
IMPERIAL = frozenset(["ft", "in", "yd", "sq ft", "sq yd", "cu yd", "mi"])
MONTHS = "January February March April May June July August September October November December".split()
NOWHERE = "Place not said"
CERTAINTIES = {"stated": "", "possible": "possible", "conditional": "conditional"}
KINDS = {"problem": "Problem", "work": "Work", "verify": "To verify"}


def number(value: float, unit: str = "", decimal: str = ".") -> str:
    """A number as a tradesperson writes it: fractions in feet and inches, else at most three decimals.

    >>> number(12.0), number(2.5, "in"), number(0.375, "in"), number(2.0625, "in"), number(2.5, "m"), number(2.5, "m", ",")
    ('12', '2½', '⅜', '2 1/16', '2.5', '2,5')
    """
    whole, rest = divmod(abs(value), 1)
    sign = "-" if value < 0 else ""
    fraction = _fraction(rest) if unit in IMPERIAL and rest else None
    if fraction:
        gap = " " if whole and "/" in fraction else ""
        return f"{sign}{int(whole) or ''}{gap}{fraction}"
    text = f"{abs(value):.3f}".rstrip("0").rstrip(".")
    return sign + text.replace(".", decimal)


def _fraction(rest: float) -> str | None:
    """Halves, thirds, eighths and so on down to sixteenths; None for what is none of these."""
    for fraction, sign in VULGAR.items():
        if abs(float(fraction) - rest) < 0.004:
            return sign
    sixteenths = rest * 16
    return f"{round(sixteenths)}/16" if abs(sixteenths - round(sixteenths)) < 0.01 and 0 < round(sixteenths) < 16 else None


def quantity(measured: Quantity, decimal: str = ".") -> str:
    """ "about 12 ft", "12–18 in", "3" for a count.

    >>> from memo2list.records import WordRange
    >>> quantity(Quantity(12, "ft", "length", "about twelve feet", WordRange(0, 3), approximate=True))
    'about 12 ft'
    """
    unit = "" if measured.unit in ("ea", "") else measured.unit
    values = measured.value if isinstance(measured.value, tuple) else (measured.value,)
    text = "–".join(number(v, unit, decimal) for v in values)
    return f"{'about ' if measured.approximate else ''}{text}{' ' + unit if unit else ''}"


def quantities(measured: Sequence[Quantity], decimal: str = ".") -> str:
    return "; ".join(quantity(q, decimal) for q in measured)


def place(item: Item) -> str:
    """The place with a capital, or that none was said.

    >>> sentence_case("rear elevation")
    'Rear elevation'
    """
    return sentence_case(item.location) if item.location else NOWHERE


def section_of(location: str | None) -> str:
    """The last place named, under which lines are gathered; "" if none was said.

    >>> section_of("third tread, front steps"), section_of(None)
    ('front steps', '')
    """
    return (location or "").rpartition(", ")[2]


def spot_of(location: str | None) -> str:
    """Where within its section.

    >>> spot_of("third tread, front steps"), spot_of("front steps")
    ('third tread', '')
    """
    return (location or "").rpartition(", ")[0]


def sentence_case(text: str) -> str:
    return text[:1].upper() + text[1:]


def date(day: datetime.date, style: PageStyle) -> str:
    """
    >>> date(datetime.date(2026, 3, 7), PageStyle()), date(datetime.date(2026, 3, 7), PageStyle(dates="month-day"))
    ('7 March 2026', 'March 7, 2026')
    """
    if style.dates == "iso":
        return day.isoformat()
    month = MONTHS[day.month - 1]
    return f"{month} {day.day}, {day.year}" if style.dates == "month-day" else f"{day.day} {month} {day.year}"


def quote_line(quote: Quote) -> str:
    return f"“{quote.text}” ({short_clock(quote.span.start_ms)})"


def office_line(question: OfficeQuestion) -> str:
    return f"For the office: {question.text}{' (done)' if question.state == 'done' else ''}"
