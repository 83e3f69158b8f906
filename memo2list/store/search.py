"""Search over all jobs: the words (FTS5, BM25), widened by the lexicon, fused with likeness of what items are about.

Fusion is reciprocal rank fusion, 1 / (60 + rank), summed over the rankings (Cormack, Clarke and Büttcher, SIGIR 2009).
"""

import re
import sqlite3
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from memo2list.store.database import StoreDatabase
from memo2list.store.jobs import Job
from memo2list.store.query import EVERYDAY, Query, Term, Vocabulary, understand, words_of

How = Literal["plain", "expanded", "fused"]
RRF_K = 60
DEPTH = 200  # best of each ranking that are fused
COLUMN_WEIGHTS = "4.0, 3.0, 1.0, 1.0"  # title, names, said, note
KIND_WEIGHTS = {"element": 1.0, "problem": 1.0, "action": 0.6, "material": 0.6, "place": 0.5}


@dataclass(frozen=True, slots=True)
class Filters:
    """What a found item must be; empty fields ask for nothing. Dates are ISO, of the day the job was made."""

    job: str = ""
    element: str = ""
    problem: str = ""
    action: str = ""
    material: str = ""
    place: str = ""
    since: str = ""
    until: str = ""
    state: str = ""
    certainty: str = ""


@dataclass(frozen=True, slots=True)
class Found:
    """One item that was found, with its best quote; `marked` are stretches of that quote's characters to mark."""

    job: str
    key: str
    number: int
    title: str
    element: str
    location: str
    certainty: str
    state: str
    said_at: str
    quote: str
    recording: str
    start_ms: int
    marked: tuple[tuple[int, int], ...]
    score: float


@dataclass(frozen=True, slots=True)
class Results:
    """One page of what was found; `total` counts the best of each ranking, `by_element` and `by_problem` likewise."""

    found: tuple[Found, ...]
    total: int
    by_element: tuple[tuple[str, int], ...]
    by_problem: tuple[tuple[str, int], ...]
    corrected: tuple[tuple[str, str], ...] = ()


def search(
    db: StoreDatabase,
    text: str,
    vocabulary: Vocabulary,
    filters: Filters = Filters(),
    limit: int = 20,
    offset: int = 0,
    how: How = "fused",
) -> Results:
    """The items that answer a query best. Any text gives results or none; an empty one lists what the filters leave."""
    query = understand(text, vocabulary, corrections(db, text, vocabulary))
    where, values = conditions(filters, vocabulary)
    if not query.terms:
        ranked = _all(db, where, values) if not words_of(text) and where else []
    else:
        ranked = rankings(db, query, vocabulary, where, values, how)
    return page(db, ranked, query, limit, offset)


def similar(db: StoreDatabase, job: Job, key: str, vocabulary: Vocabulary, limit: int = 3, other_jobs: bool = False) -> Results:
    """Items like this one, in all jobs or only in the others."""
    row = db.row("SELECT id, title FROM items WHERE job = ? AND key = ?", [job.id, key])
    if row is None:
        return Results((), 0, (), ())
    names = tuple((r["kind"], r["name"]) for r in db.rows("SELECT kind, name FROM subjects WHERE item = ?", [row["id"]]))
    where, values = (" AND i.job != ?", [job.id]) if other_jobs else ("", [])
    query = understand(row["title"], vocabulary)
    ranked = fuse([by_words(db, query, where, values, widened=False), by_subjects(db, names, vocabulary, where, values)], (1, 2))
    return page(db, [(n, s) for n, s in ranked if n != row["id"]], query, limit, 0)


def rankings(
    db: StoreDatabase, query: Query, vocabulary: Vocabulary, where: str, values: list[Any], how: How
) -> list[tuple[int, float]]:
    """(item row, score), best first."""
    words = by_words(db, query, where, values, widened=how != "plain")
    if how != "fused":
        return [(number, 1 / (RRF_K + rank)) for rank, number in enumerate(words, 1)]
    return fuse([words, by_subjects(db, query.names, vocabulary, where, values)], (1, 1))


def fuse(lists: Sequence[Sequence[int]], weights: Sequence[float]) -> list[tuple[int, float]]:
    """
    >>> [number for number, _ in fuse([[1, 2], [2, 3]], (1, 1))]
    [2, 1, 3]
    """
    score: Counter[int] = Counter()
    for ranked, weight in zip(lists, weights, strict=True):
        for rank, number in enumerate(ranked, 1):
            score[number] += weight / (RRF_K + rank)  # type: ignore[assignment]
    return sorted(score.items(), key=lambda pair: (-pair[1], pair[0]))


def by_words(db: StoreDatabase, query: Query, where: str, values: list[Any], widened: bool) -> list[int]:
    """Items that hold all terms, best first; then those that hold any, if all are too many to ask for."""
    found: list[int] = []
    for joiner in (" AND ", " OR ") if len(query.terms) > 1 else (" OR ",):
        match = joiner.join(fts_term(term, widened) for term in query.terms)
        found += [n for n in _match(db, match, where, values) if n not in found]
        if len(found) >= DEPTH // 4:
            break
    return found[:DEPTH]


def fts_term(term: Term, widened: bool) -> str:
    """A term as an FTS5 expression: only quoted strings, so nothing in it can be an operator."""
    forms = [" ".join(term.words), *(term.forms if widened else ())]
    if len(term.words) > 1:
        forms.append("")
        spread = " AND ".join(f'"{word}"' for word in term.words)
        return "(" + " OR ".join([f'"{_quoted(f)}"' for f in forms if f] + [f"({spread})"]) + ")"
    return "(" + " OR ".join(f'"{_quoted(f)}"' for f in forms) + ")"


def by_subjects(
    db: StoreDatabase, names: Iterable[tuple[str, str]], vocabulary: Vocabulary, where: str, values: list[Any]
) -> list[int]:
    """Items about the same or a related element, problem, action, material or place, the most alike first."""
    wanted: dict[tuple[str, str], float] = {}
    for kind, name in names:
        for other, likeness in vocabulary.kin(kind, name).items():
            weight = likeness * KIND_WEIGHTS.get(kind, 0.5)
            wanted[kind, other] = max(wanted.get((kind, other), 0), weight)
    if not wanted:
        return []
    rows = ", ".join("(?, ?, ?)" for _ in wanted)
    listed = [v for (kind, name), weight in wanted.items() for v in (kind, name, weight)]
    sql = f"""
        WITH wanted(kind, name, weight) AS (VALUES {rows}),
        scored AS (
            SELECT item, sum(best) AS score FROM (
                SELECT s.item AS item, max(w.weight) AS best FROM wanted w
                JOIN subjects s ON s.kind = w.kind AND s.name = w.name GROUP BY s.item, s.kind)
            GROUP BY item)
        SELECT i.id FROM scored c JOIN items i ON i.id = c.item WHERE i.review != 'dropped'{where}
        ORDER BY c.score DESC, i.id DESC LIMIT {DEPTH}"""
    return [row[0] for row in db.rows(sql, [*listed, *values])]


def _match(db: StoreDatabase, match: str, where: str, values: list[Any]) -> list[int]:
    sql = f"""
        SELECT i.id FROM items_fts f JOIN items i ON i.id = f.rowid
        WHERE items_fts MATCH ? AND i.review != 'dropped'{where}
        ORDER BY bm25(items_fts, {COLUMN_WEIGHTS}) LIMIT {DEPTH}"""
    return [row[0] for row in db.rows(sql, [match, *values])]


def _all(db: StoreDatabase, where: str, values: list[Any]) -> list[tuple[int, float]]:
    sql = f"SELECT i.id FROM items i WHERE i.review != 'dropped'{where} ORDER BY i.said_at DESC, i.number LIMIT {DEPTH}"
    return [(row[0], 0.0) for row in db.rows(sql, values)]


def conditions(filters: Filters, vocabulary: Vocabulary) -> tuple[str, list[Any]]:
    """The filters as SQL that begins with " AND", and its values."""
    out, values = "", []
    for kind in ("element", "problem", "action", "material", "place"):
        asked = getattr(filters, kind).lower().strip()
        if asked:
            names = {asked, *(e.name for e in vocabulary.by_form.get(asked, ()) if e.kind == kind)}
            marks = ", ".join("?" * len(names))
            out += f" AND EXISTS (SELECT 1 FROM subjects s WHERE s.item = i.id AND s.kind = ? AND s.name IN ({marks}))"
            values += [kind, *sorted(names)]
    simple = (("i.state = ?", filters.state), ("i.certainty = ?", filters.certainty), ("i.said_at >= ?", filters.since))
    for sql, value in simple:
        if value:
            out, values = f"{out} AND {sql}", [*values, value]
    if filters.until:
        out, values = f"{out} AND substr(i.said_at, 1, 10) <= ?", [*values, filters.until]
    if filters.job:
        out += " AND i.job = (SELECT id FROM jobs WHERE name_key = ?)"
        values.append(" ".join(filters.job.split()).casefold())
    return out, values


def corrections(db: StoreDatabase, text: str, vocabulary: Vocabulary) -> dict[str, str]:
    """Words that neither the lexicon nor any item knows, and the nearest trade word, where one is near enough."""
    from rapidfuzz import fuzz, process

    taken = {}
    for word in set(words_of(text)):
        if len(word) < 4 or word in vocabulary.words or word.isdigit() or _said(db, word):
            continue
        near = process.extractOne(word, vocabulary.words, scorer=fuzz.ratio, score_cutoff=76)
        if near and not vocabulary.lexicon.find([word]):
            taken[word] = near[0]
    return taken


def _said(db: StoreDatabase, word: str) -> bool:
    return db.row("SELECT 1 FROM items_fts WHERE items_fts MATCH ? LIMIT 1", [f'"{_quoted(word)}"']) is not None


def page(db: StoreDatabase, ranked: Sequence[tuple[int, float]], query: Query, limit: int, offset: int) -> Results:
    shown = ranked[max(0, offset) : max(0, offset) + max(0, limit)]
    numbers = [n for n, _ in ranked]
    pattern = marking(query)
    found = []
    for number, score in shown:
        row = db.row("SELECT i.*, j.name AS job_name FROM items i JOIN jobs j ON j.id = i.job WHERE i.id = ?", [number])
        if row is not None:
            found.append(_found(row, _best_quote(db, number, pattern), pattern, score))
    return Results(tuple(found), len(ranked), _counts(db, numbers, "element"), _counts(db, numbers, "problem"), query.corrected)


def marking(query: Query) -> re.Pattern[str] | None:
    """What to mark in quotes: the words asked for and the other ways to say them, with their endings."""
    words = {w for t in query.terms for form in (" ".join(t.words), *t.forms) for w in words_of(form)} - EVERYDAY
    stems = sorted({re.escape(w[: max(4, len(w) - 2)]) for w in words if len(w) > 2}, key=len, reverse=True)
    return re.compile(rf"\b(?:{'|'.join(stems)})\w*", re.IGNORECASE) if stems else None


def _best_quote(db: StoreDatabase, item: int, pattern: re.Pattern[str] | None) -> sqlite3.Row | None:
    quotes = db.rows("SELECT recording, start_ms, text FROM quotes WHERE item = ? ORDER BY id", [item])
    return max(quotes, key=lambda q: len(pattern.findall(q["text"])) if pattern else 0, default=None)


def _found(row: sqlite3.Row, quote: sqlite3.Row | None, pattern: re.Pattern[str] | None, score: float) -> Found:
    text = quote["text"] if quote else ""
    return Found(
        job=row["job_name"],
        key=row["key"],
        number=row["number"],
        title=row["title"],
        element=row["element"],
        location=row["location"],
        certainty=row["certainty"],
        state=row["state"],
        said_at=row["said_at"],
        quote=text,
        recording=quote["recording"] if quote else "",
        start_ms=quote["start_ms"] if quote else 0,
        marked=tuple(m.span() for m in pattern.finditer(text)) if pattern else (),
        score=round(score, 5),
    )


def _counts(db: StoreDatabase, numbers: Sequence[int], kind: str) -> tuple[tuple[str, int], ...]:
    if not numbers:
        return ()
    marks = ", ".join("?" * len(numbers))
    sql = f"""SELECT name, count(*) AS times FROM subjects WHERE item IN ({marks}) AND kind = ?
        GROUP BY name ORDER BY times DESC, name LIMIT 8"""
    return tuple((row["name"], row["times"]) for row in db.rows(sql, [*numbers, kind]))


def _quoted(text: str) -> str:
    return text.replace('"', '""').replace("\0", "")
