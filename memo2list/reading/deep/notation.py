"""The short notation in which the model answers: one row an item.

    3-5,9!|tread|split|replace|front steps|1 ea|five-quarter by twelve

is: lines of evidence and marks | element | problem | action | place | quantities | material. Empty
fields stay empty and those at the end are left out; "=" as place repeats the place of the row before.
Marks: ? to verify, ~ possible, ^ conditional, ! somebody can get hurt. An answer without items is "none".
"""

import re
from dataclasses import dataclass
from typing import Literal

Mark = Literal["?", "~", "^", "!"]
EVIDENCE = re.compile(r"(\d+(?:-\d+)?(?:,\d+(?:-\d+)?)*)([?~^!]*)")
AMOUNT = re.compile(r"(\d+(?:\.\d+)?)(?:-(\d+(?:\.\d+)?))? ([A-Za-z][A-Za-z ]*)")
NOTHING = "none"
FIELDS = 7


@dataclass(frozen=True, slots=True)
class Amount:
    """A quantity as the model gives it: a value or (low, high), and a unit."""

    value: float | tuple[float, float]
    unit: str


@dataclass(frozen=True, slots=True)
class Row:
    """One item of an answer; `lines` are numbers in the prompt, from 1."""

    lines: tuple[int, ...]
    element: str
    problem: str = ""
    action: str = ""
    place: str = ""
    amounts: tuple[Amount, ...] = ()
    material: str = ""
    marks: str = ""


def write(rows: tuple[Row, ...]) -> str:
    """The answer that holds these rows.

    >>> write((Row((3, 4, 5, 9), "tread", "split", place="steps", marks="!"), Row((7,), "rail", "loose", place="steps")))
    '3-5,9!|tread|split||steps\\n7|rail|loose||='
    """
    out, place = [], ""
    for row in rows:
        said = "=" if row.place and row.place == place else row.place
        place = row.place
        amounts = "; ".join(write_amount(a) for a in row.amounts)
        fields = [spans(row.lines) + row.marks, row.element, row.problem, row.action, said, amounts, row.material]
        out.append("|".join(fields).rstrip("|"))
    return "\n".join(out) or NOTHING


def write_amount(amount: Amount) -> str:
    if isinstance(amount.value, tuple):
        return f"{amount.value[0]:g}-{amount.value[1]:g} {amount.unit}"
    return f"{amount.value:g} {amount.unit}"


def spans(numbers: tuple[int, ...]) -> str:
    """
    >>> spans((3, 4, 5, 9))
    '3-5,9'
    """
    parts: list[list[int]] = []
    for n in sorted(set(numbers)):
        if parts and n == parts[-1][1] + 1:
            parts[-1][1] = n
        else:
            parts.append([n, n])
    return ",".join(f"{a}" if a == b else f"{a}-{b}" for a, b in parts)


def parse(answer: str) -> tuple[tuple[Row, ...], tuple[str, ...]]:
    """The rows of an answer, and the lines of it that are no rows (empty if all parsed)."""
    rows: list[Row] = []
    bad: list[str] = []
    for text in filter(None, (line.strip() for line in answer.splitlines())):
        row = parse_row(text, rows[-1].place if rows else "")
        if row:
            rows.append(row)
        elif text != NOTHING:
            bad.append(text)
    return tuple(rows), tuple(bad)


def parse_row(text: str, last_place: str) -> Row | None:
    fields = [f.strip() for f in text.split("|")]
    head = EVIDENCE.fullmatch(fields[0])
    if not head or not 3 <= len(fields) <= FIELDS or not fields[1]:
        return None
    fields += [""] * (FIELDS - len(fields))
    _, element, problem, action, place, amounts, material = fields
    if not problem and not action:
        return None
    return Row(
        numbers(head[1]),
        element,
        problem,
        action,
        last_place if place == "=" else place,
        tuple(a for a in map(parse_amount, amounts.split(";")) if a),
        material,
        head[2],
    )


def numbers(text: str) -> tuple[int, ...]:
    out: list[int] = []
    for part in text.split(","):
        low, _, high = part.partition("-")
        out += range(int(low), min(int(high or low), int(low) + 60) + 1)
    return tuple(out)


def parse_amount(text: str) -> Amount | None:
    found = AMOUNT.fullmatch(text.strip())
    if not found:
        return None
    low, high, unit = found.groups()
    return Amount((float(low), float(high)) if high else float(low), unit)
