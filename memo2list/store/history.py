"""What recurs over all jobs: by element, problem, element with problem, action, trade, season or property."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from memo2list.store.database import StoreDatabase

BY = ("element", "problem", "pair", "action", "trade", "season", "property")
SEASONS = ("December to February", "March to May", "June to August", "September to November")


@dataclass(frozen=True, slots=True)
class Recurring:
    """One thing that recurs: how often, in how many jobs, how many of them done, and when last (ISO date)."""

    name: str
    times: int
    jobs: int
    done: int
    last: str


@dataclass(frozen=True, slots=True)
class _Row:
    element: str
    problem: str
    action: str
    job: str
    address: str
    said_at: str
    done: bool


def history(db: StoreDatabase, by: str, trades: dict[str, str], least: int = 1) -> tuple[Recurring, ...]:
    """The most frequent first; `trades` gives the trade of an element; `least` leaves out what is rarer."""
    groups: dict[str, list[_Row]] = defaultdict(list)
    for row in _rows(db):
        for name in _names(row, by, trades):
            groups[name].append(row)
    found = [_recurring(name, rows) for name, rows in groups.items() if name]
    return tuple(sorted((r for r in found if r.times >= least), key=lambda r: (-r.times, r.name)))


def season(day: str) -> str:
    """The quarter of the year of an ISO date, by months, for it may be winter or summer.

    >>> season("2026-01-15"), season("2026-12-01")
    ('December to February', 'December to February')
    """
    return SEASONS[int(day[5:7]) % 12 // 3]


def _names(row: _Row, by: str, trades: dict[str, str]) -> Iterable[str]:
    if by == "pair":
        return [f"{row.element}: {row.problem}"] if row.problem else []
    if by == "trade":
        return [trades.get(row.element, "")]
    if by == "season":
        return [season(row.said_at)]
    return [row.address or row.job] if by == "property" else [getattr(row, by)]


def _rows(db: StoreDatabase) -> Iterable[_Row]:
    """One row an item, with its first problem and action: names of the lexicon, not further words."""
    sql = """
        SELECT i.element, i.state, i.said_at, j.name, j.address, json_extract(i.json, '$.issues[0]') AS problem,
            json_extract(i.json, '$.actions[0]') AS action
        FROM items i JOIN jobs j ON j.id = i.job"""
    for row in db.connection.execute(sql):
        yield _Row(
            row["element"],
            row["problem"] or "",
            row["action"] or "",
            row["name"],
            row["address"],
            row["said_at"],
            row["state"] == "done",
        )


def _recurring(name: str, rows: list[_Row]) -> Recurring:
    return Recurring(
        name,
        len(rows),
        len({r.job for r in rows}),
        sum(r.done for r in rows),
        max(r.said_at for r in rows)[:10],
    )
