"""The fields of an item as a person types them, and back to the values of the record."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from memo2list.errors import InputError
from memo2list.exports import phrasing
from memo2list.reading.quantities import UNITS, kind_of
from memo2list.records import Item, Quantity, WordRange

VULGAR = {sign: f" {part.numerator}/{part.denominator}" for part, sign in phrasing.VULGAR.items()}
NUMBER = r"\d+(?:[.,]\d+)?(?: \d+/[1-9]\d*)?|\d+/[1-9]\d*"
MEASURE = re.compile(
    rf"(?P<about>(?:about|around|roughly|approx\.?|~)\s*)?(?P<low>{NUMBER})\s*(?:(?:-|–|to)\s*(?P<high>{NUMBER}))?\s*"
    r"(?P<power>sq\.?|square|cu\.?|cubic)?\s*(?P<unit>[a-z'\"]+\.?)?",
    re.IGNORECASE,
)
SIGNS = {unit: unit for unit in UNITS.values()} | {
    "'": "ft",
    '"': "in",
    "ea": "ea",
    "each": "ea",
    "pcs": "ea",
    "pieces": "ea",
    "sqft": "sq ft",
    "sqm": "sq m",
}


@dataclass(frozen=True, slots=True)
class Field:
    """One field of the form: its name in the record, its label, how it is typed, and the lexicon kind it is completed from."""

    name: str
    label: str
    shape: str  # "line", "list", "lines", "text", "measures", "choice", "yes"
    words: str = ""
    hint: str = ""
    choices: tuple[tuple[str, str], ...] = ()


FIELDS = (
    Field("element", "Element", "line", "element", "the part it is about"),
    Field("issues", "Problem", "list", "problem", "what is wrong; several with commas"),
    Field("actions", "Action", "list", "action", "what is to be done; several with commas"),
    Field("location", "Place", "line", "place"),
    Field("quantities", "Measures", "measures", "", "such as: about 12 ft; 3; 10–12 in"),
    Field("materials", "Material", "list", "material"),
    Field(
        "certainty",
        "How sure it was said",
        "choice",
        choices=(("stated", "stated"), ("possible", "possible"), ("conditional", "on a condition")),
    ),
    Field("kind", "Kind", "choice", choices=(("problem", "problem"), ("work", "work wanted"), ("verify", "to verify"))),
    Field("safety", "Someone could get hurt", "yes"),
    Field("title", "Title", "line", "", "follows from element, problem and action unless you write your own"),
    Field("questions", "Questions to settle", "lines", "", "one a line"),
    Field("note", "Note", "text"),
)
BY_NAME = {field.name: field for field in FIELDS}


def text_of(name: str, value: Any) -> str:
    """A value as it stands in the form.

    >>> text_of("issues", ("rot", "crack")), text_of("location", None)
    ('rot, crack', '')
    """
    return _TO_TEXT[BY_NAME[name].shape](value)


def value_of(name: str, text: str, before: Any) -> Any:
    """What was typed, as the record holds it; `before` is the value the form showed. InputError for what cannot be.

    >>> value_of("issues", "rot,  crack ,", ()), value_of("location", " ", "hall"), value_of("safety", "yes", False)
    (('rot', 'crack'), None, True)
    """
    if name == "location":
        return _line(text, before) or None
    return _FROM_TEXT[BY_NAME[name].shape](text, before)


def changed_fields(given: dict[str, str], before: dict[str, Any]) -> dict[str, Any]:
    """Values of those fields whose text is not what the form showed."""
    typed = {name: text for name, text in given.items() if name in BY_NAME and name in before}
    return {
        name: value_of(name, text, before[name])
        for name, text in typed.items()
        if _tidy(text) != _tidy(text_of(name, before[name]))
    }


def measure(text: str) -> Quantity:
    """A measure as typed. InputError if it is none.

    >>> q = measure("about 3 1/2 ft")
    >>> q.value, q.unit, q.kind, q.approximate
    (3.5, 'ft', 'length', True)
    >>> measure("10–12 in").value, measure("4").unit, measure("20 sq m").kind
    ((10.0, 12.0), 'ea', 'area')
    """
    plain = text.strip()
    for sign, spelled in VULGAR.items():
        plain = plain.replace(sign, spelled)
    found = MEASURE.fullmatch(" ".join(plain.split()))
    unit = _unit(found["unit"] or "", found["power"] or "") if found else None
    if found is None or unit is None:
        raise InputError(repr(text.strip()), "is no measure.", "Write it like: 12 ft, about 3 1/2 in, 10–12 sq m, or 4.")
    low, high = _number(found["low"]), _number(found["high"]) if found["high"] else None
    value = low if high is None else (min(low, high), max(low, high))
    return Quantity(value, unit, kind_of(unit), text.strip(), WordRange(0, 0), bool(found["about"]))


def _unit(word: str, power: str) -> str | None:
    word = word.lower()
    known = SIGNS.get(word) or UNITS.get(word.rstrip(".")) or UNITS.get(word) or ("ea" if not word and not power else None)
    if known in ("ea", None) or not power:
        return known
    prefix = "sq " if power.lower().startswith("s") else "cu "
    return prefix + known if known in ("ft", "in", "yd", "m", "cm", "mm") else None


def _number(text: str) -> float:
    return float(sum(Fraction(part.replace(",", ".")) for part in text.split()))


def _tidy(text: str) -> str:
    return "\n".join(" ".join(line.split()) for line in text.replace("\r\n", "\n").strip().split("\n"))


def _line(text: str, _before: Any = None) -> str:
    return " ".join(text.split())


def _list(text: str, _before: Any = None) -> tuple[str, ...]:
    return tuple(dict.fromkeys(piece for part in text.split(",") if (piece := _line(part))))


def _lines(text: str, _before: Any = None) -> tuple[str, ...]:
    return tuple(dict.fromkeys(line for part in text.splitlines() if (line := _line(part))))


def _measures(text: str, before: tuple[Quantity, ...]) -> tuple[Quantity, ...]:
    known = {phrasing.quantity(q): q for q in before}  # a measure that was not touched keeps the words it was said in
    pieces = [piece for part in text.split(";") if (piece := _line(part))]
    return tuple(known.get(piece) or measure(piece) for piece in pieces)


_TO_TEXT: dict[str, Callable[[Any], str]] = {
    "line": lambda value: value or "",
    "list": ", ".join,
    "lines": "\n".join,
    "text": str,
    "measures": phrasing.quantities,
    "choice": str,
    "yes": lambda value: "yes" if value else "",
}
_FROM_TEXT: dict[str, Callable[[str, Any], Any]] = {
    "line": _line,
    "list": _list,
    "lines": _lines,
    "text": lambda text, _: _tidy(text),
    "measures": _measures,
    "choice": lambda text, _: text,
    "yes": lambda text, _: text == "yes",
}


def values_of(item: Item) -> dict[str, Any]:
    """All fields of the form as the item holds them now."""
    return {field.name: getattr(item, field.name) for field in FIELDS}
