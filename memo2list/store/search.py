"""Search over all jobs: the words (FTS5, BM25), widened by the lexicon, fused with likeness of what items are about.

Fusion is reciprocal rank fusion, 1 / (60 + rank), summed over the rankings (Cormack, Clarke and Büttcher, SIGIR 2009).
Dropped items have no rows here (see `lists.write_current`), so they never come back.
"""

import heapq
import re
import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from memo2list.store.database import StoreDatabase
from memo2list.store.jobs import Job, name_key
from memo2list.store.query import EVERYDAY, SUBJECTS, Query, Term, Vocabulary, plain_query, understand, words_of

How = Literal["plain", "expanded", "fused"]
RRF_K = 60
DEPTH = 200  # best of each ranking that are fused
ENOUGH = 5  # with so many that hold all terms, those that hold only some are not looked for
COMMON = 1000  # a term in so many items tells little
MOST_ABOUT = 1000  # newest items looked at for each name
TYPED = 0.25  # weight of the words as typed beside the lexicon's names (chosen by tests/benchmarks/search.py on other seeds)
Ranked = list[tuple[int, int]]  # (item row, rank), best first
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
    query = plain_query(text) if how == "plain" else understand(text, vocabulary, corrections(db, text, vocabulary))
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
    ranked = fuse([by_words(db, query, "", [], widened=False, some=False), by_subjects(db, names, vocabulary, "", [])], (1, 2))
    allowed = _allowed(db, [n for n, _ in ranked], where, values)
    return page(db, [(n, s) for n, s in ranked if n != row["id"] and n in allowed], query, limit, 0)


def rankings(
    db: StoreDatabase, query: Query, vocabulary: Vocabulary, where: str, values: list[Any], how: How
) -> list[tuple[int, float]]:
    """(item row, score), best first.

    Three rankings are fused: the words as typed, so that a word the lexicon lacks counts; the terms in the lexicon's names;
    and likeness, which counts for as much of the query as the lexicon knows (share of known terms, squared).
    """
    if how == "plain":
        return fuse([by_words(db, query, where, values, widened=False)], (1,))
    named = by_words(db, query, where, values, widened=True, some=how == "expanded")
    if how == "expanded":
        return fuse([named], (1,))
    typed = by_words(db, plain_query(" ".join(query.words)), where, values, widened=False)
    return fuse([typed, named, by_subjects(db, query.names, vocabulary, where, values)], (TYPED, 1, query.known**2))


def fuse(lists: Sequence[Ranked], weights: Sequence[float]) -> list[tuple[int, float]]:
    """
    >>> [number for number, _ in fuse([[(1, 1), (2, 2)], [(2, 1), (3, 2)]], (1, 1))]
    [2, 1, 3]
    """
    score: dict[int, float] = {}
    for ranked, weight in zip(lists, weights, strict=True):
        for number, rank in ranked:
            score[number] = score.get(number, 0) + weight / (RRF_K + rank)
    return sorted(score.items(), key=lambda pair: (-pair[1], pair[0]))


def by_words(db: StoreDatabase, query: Query, where: str, values: list[Any], widened: bool, some: bool = True) -> Ranked:
    """Items that hold all terms, best first; then, with `some`, those that hold any, where few hold all."""
    terms = [fts_term(term, widened) for term in query.terms]
    found = _match(db, " AND ".join(terms), where, values) if terms else []
    if some and len(terms) > 1 and len(found) < ENOUGH:
        known = set(found)
        found += [n for n in _match(db, " OR ".join(_telling(db, terms)), where, values) if n not in known]
    return [(number, rank) for rank, number in enumerate(found[:DEPTH], 1)]


def _telling(db: StoreDatabase, terms: Sequence[str]) -> list[str]:
    """The terms that are not in very many items: the others would take long to score and change little; one at least."""
    count = f"SELECT count(*) FROM (SELECT 1 FROM items_fts WHERE items_fts MATCH ? LIMIT {COMMON})"
    counted = sorted((db.rows(count, [term])[0][0], term) for term in terms)
    return [term for times, term in counted if times < COMMON] or [counted[0][1]]


def fts_term(term: Term, widened: bool) -> str:
    """A term as an FTS5 expression: only quoted strings, so nothing in it can be an operator.

    Titles carry the lexicon's names, so that the names are widening enough; all other forms would only take time.
    """
    forms = {" ".join(term.words): None}
    telling = [w for w in term.words if w not in EVERYDAY]
    if len(telling) > 1 and not (widened and term.names):
        spread = " AND ".join(f'"{_quoted(word)}"' for word in telling)
        forms[spread] = None
    if widened:
        forms |= {name: None for kind, name in term.names if kind in SUBJECTS}
        if len(term.inner) > 1:
            forms[" AND ".join(f'"{_quoted(name)}"' for _, name in term.inner)] = None
    return "(" + " OR ".join(form if '" AND "' in form else f'"{_quoted(form)}"' for form in forms) + ")"


def by_subjects(
    db: StoreDatabase, names: Iterable[tuple[str, str]], vocabulary: Vocabulary, where: str, values: list[Any]
) -> Ranked:
    """Items about the same or a related element, problem, action, material or place; equal likeness has equal rank."""
    score: dict[int, float] = {}
    by_kind: dict[str, dict[str, float]] = {}
    for kind, name in names:
        likenesses = by_kind.setdefault(kind, {})
        for other, likeness in vocabulary.kin(kind, name).items():
            likenesses[other] = max(likeness, likenesses.get(other, 0))
    for kind, likenesses in by_kind.items():
        for item, likeness in _about(db, kind, likenesses).items():
            score[item] = score.get(item, 0) + likeness * KIND_WEIGHTS.get(kind, 0.5)
    best = [(n, s) for s, n in heapq.nlargest(DEPTH * (5 if where else 1), ((s, n) for n, s in score.items()))]
    return _tied(best if not where else [pair for pair in best if pair[0] in _allowed(db, [n for n, _ in best], where, values)])


def _about(db: StoreDatabase, kind: str, likenesses: dict[str, float]) -> dict[int, float]:
    """Items about these names with their likeness, the newest MOST_ABOUT of each name."""
    best: dict[int, float] = {}
    for name, likeness in sorted(likenesses.items(), key=lambda pair: pair[1]):
        sql = "SELECT item FROM subjects WHERE kind = ? AND name = ? ORDER BY item DESC LIMIT ?"
        best |= {row[0]: likeness for row in db.connection.execute(sql, [kind, name, MOST_ABOUT])}
    return best


def _tied(scored: Sequence[tuple[int, float]]) -> Ranked:
    """
    >>> _tied([(7, 2.0), (8, 2.0), (9, 1.0)])
    [(7, 1), (8, 1), (9, 3)]
    """
    ranked: Ranked = []
    for place, (number, score) in enumerate(scored, 1):
        same = place > 1 and scored[place - 2][1] == score
        ranked.append((number, ranked[-1][1] if same else place))
    return ranked


def _allowed(db: StoreDatabase, numbers: Sequence[int], where: str, values: list[Any]) -> frozenset[int]:
    marks = ", ".join("?" * len(numbers))
    return frozenset(row[0] for row in db.rows(f"SELECT i.id FROM items i WHERE i.id IN ({marks}){where}", [*numbers, *values]))


def _match(db: StoreDatabase, match: str, where: str, values: list[Any]) -> list[int]:
    if where:
        source = f"items_fts f CROSS JOIN items i ON i.id = f.rowid WHERE items_fts MATCH ?{where}"
        sql = f"SELECT i.id FROM {source} ORDER BY bm25(items_fts, {COLUMN_WEIGHTS}) LIMIT {DEPTH}"
    else:
        ranking = f"rank MATCH 'bm25({COLUMN_WEIGHTS})'"
        sql = f"SELECT rowid FROM items_fts WHERE items_fts MATCH ? AND {ranking} ORDER BY rank LIMIT {DEPTH}"
    return [row[0] for row in db.connection.execute(sql, [match, *values])]


def _all(db: StoreDatabase, where: str, values: list[Any]) -> list[tuple[int, float]]:
    sql = f"SELECT i.id FROM items i WHERE 1{where} ORDER BY i.said_at DESC, i.number LIMIT {DEPTH}"
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
        values.append(name_key(filters.job))
    return out, [v.encode("utf-8", "replace").decode() for v in values]


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
    sql = f"""SELECT name, count(*) AS times FROM subjects INDEXED BY subjects_item WHERE item IN ({marks}) AND kind = ?
        GROUP BY name ORDER BY times DESC, name LIMIT 8"""
    return tuple((row["name"], row["times"]) for row in db.rows(sql, [*numbers, kind]))


def _quoted(text: str) -> str:
    return text.replace('"', '""').replace("\0", "")
