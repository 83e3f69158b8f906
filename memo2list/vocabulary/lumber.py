"""Nominal and dressed sizes of softwood lumber, so that a spoken "two by six" is known to measure 1 1/2 by 5 1/2 inches.

Source: American Softwood Lumber Standard, Voluntary Product Standard PS 20, table of dressed dry sizes of boards,
dimension and timbers. Figures as relayed by published tables of that standard; tests/outside checks them.
"""

import re
from fractions import Fraction

# nominal thickness of boards in inches → dressed dry inches
BOARD_THICKNESS = {"1": "3/4", "5/4": "1", "6/4": "5/4"}
NUMBERS = "one 1 two 2 three 3 four 4 five 5 six 6 seven 7 eight 8 ten 10 twelve 12 fourteen 14 sixteen 16".split()
SPOKEN = dict(zip(NUMBERS[::2], NUMBERS[1::2], strict=True))
SPOKEN |= {"five quarter": "5/4", "six quarter": "6/4", "five-quarter": "5/4", "six-quarter": "6/4"}
SIZE = re.compile(r"^\s*(\d+(?:/4)?)\s*(?:x|×|by|-by-)\s*(\d+)\s*$")


def nominal(text: str) -> tuple[str, str] | None:
    """Thickness and width as written in the standard, from "2x6", "two by six" or "five-quarter by six"; None if it is none.

    >>> nominal("two-by-six"), nominal("five quarter by six"), nominal("six feet")
    (('2', '6'), ('5/4', '6'), None)
    """
    said = text.lower().replace("-by-", " by ")
    for word, digit in sorted(SPOKEN.items(), key=lambda pair: -len(pair[0])):
        said = re.sub(rf"\b{word}\b", digit, said)
    found = SIZE.match(said)
    return (found[1], found[2]) if found else None


def dressed_size(text: str) -> tuple[Fraction, Fraction] | None:
    """Dressed dry thickness and width in inches; None for what is no lumber size of the standard.

    >>> dressed_size("2x6"), dressed_size("1x8")
    ((Fraction(3, 2), Fraction(11, 2)), (Fraction(3, 4), Fraction(29, 4)))
    """
    size = nominal(text)
    if size is None:
        return None
    thick, wide = size
    if thick in BOARD_THICKNESS and 2 <= int(wide) <= 16:
        return Fraction(BOARD_THICKNESS[thick]), dressed_width(int(wide))
    if "/" not in thick and 2 <= int(thick) <= 16 and 2 <= int(wide) <= 16:
        return dressed_width(int(thick)), dressed_width(int(wide))
    return None


def dressed_width(inches: int) -> Fraction:
    """Half an inch off up to seven inches, three quarters above (PS 20, dry)."""
    return inches - (Fraction(1, 2) if inches <= 7 else Fraction(3, 4))
