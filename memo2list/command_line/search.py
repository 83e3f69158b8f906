"""`memo2list search`: have I seen this before, and what did I do about it."""

from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from memo2list.command_line.output import send
from memo2list.command_line.stores import json_option, opened, print_json, store_option
from memo2list.command_line.tables import show
from memo2list.errors import InputError
from memo2list.timing import short_clock

if TYPE_CHECKING:
    from memo2list.store.search import Found, Results

HISTORY_BY = ("pair", "element", "problem", "action", "trade", "season", "property")


@click.command()
@click.argument("words", nargs=-1)
@click.option("--similar-to", metavar="JOB:NUMBER", help="Find items like this one, instead of words.")
@click.option("--job", default="", help="Only in this job.")
@click.option("--element", default="", help="Only about this element.")
@click.option("--problem", default="", help="Only with this problem.")
@click.option("--action", default="", help="Only with this action.")
@click.option("--material", default="", help="Only with this material or finish.")
@click.option("--place", default="", help="Only at this place.")
@click.option("--since", default="", metavar="DATE", help="Only in jobs made on this day or later (2026-03-31).")
@click.option("--until", default="", metavar="DATE", help="Only in jobs made on this day or earlier.")
@click.option("--state", type=click.Choice(["open", "done"]), default=None, help="Only items in this state.")
@click.option(
    "--certainty", type=click.Choice(["stated", "possible", "conditional"]), default=None, help="Only of this certainty."
)
@click.option("--limit", default=20, show_default=True, type=click.IntRange(1, 200), help="How many to show.")
@click.option("--page", default=1, show_default=True, type=click.IntRange(1), help="Which page of them.")
@json_option
@store_option
def search(
    words: tuple[str, ...],
    similar_to: str | None,
    limit: int,
    page: int,
    as_json: bool,
    store_at: Path | None,
    **asked: str | None,
) -> None:
    """Find items in all jobs by WORDS, in your own words or the trade's, and by what they are about."""
    from memo2list.store.search import Filters

    if not (words or similar_to or any(asked.values())):
        raise click.UsageError("Say WORDS to search for, --similar-to JOB:NUMBER, or at least one filter.")
    with opened(store_at) as store:
        if similar_to:
            job, number = job_and_number(similar_to)
            results = store.similar(job, store.item(job, number).key, limit=limit)
        else:
            filters = Filters(**{name: value or "" for name, value in asked.items()})
            results = store.search(" ".join(words), filters, limit=limit, offset=(page - 1) * limit)
    if as_json:
        print_json(asdict(results))
        return
    show_results(results)


def job_and_number(text: str) -> tuple[str, str]:
    """
    >>> job_and_number("Mill Lane: 4:12")
    ('Mill Lane: 4', '12')
    """
    job, _, number = text.rpartition(":")
    if not job or not number:
        raise InputError(repr(text), "names no item.", "Write JOB:NUMBER, as in mill-lane:12.")
    return job, number


def show_results(results: "Results") -> None:
    for typed, taken in results.corrected:
        click.echo(f"Taken “{typed}” for “{taken}”.", err=True)
    if not results.found:
        click.echo("Nothing found.", err=True)
        return
    rows = [(f"{f.job}:{f.number}", f.title, f.location, f.said_at[:10], f.state, marked(f)) for f in results.found]
    show(("Item", "What", "Where", "Made", "State", "Said"), rows)
    if len(results.found) < results.total:
        click.echo(f"{len(results.found)} of {results.total} shown. {counts(results)}", err=True)


def marked(found: "Found") -> str:
    """The quote with the words that match in brackets, and its time."""
    if not found.quote:
        return ""
    out, at = "", 0
    for start, stop in found.marked:
        out += f"{found.quote[at:start]}[{found.quote[start:stop]}]"
        at = stop
    return f"{short_clock(found.start_ms)} “{out}{found.quote[at:]}”"


def counts(results: "Results") -> str:
    return ", ".join(f"{name} {times}" for name, times in (*results.by_element[:4], *results.by_problem[:4]))


@click.command()
@click.option("--by", type=click.Choice(HISTORY_BY), default="pair", show_default=True, help="What is counted.")
@click.option("--least", default=1, show_default=True, type=click.IntRange(1), help="Leave out what is rarer.")
@click.option("--csv", "as_csv", is_flag=True, help="Print CSV.")
@click.option("--plot", type=click.Path(path_type=Path), help="Also draw the ten most frequent into this SVG file.")
@click.option("--force", is_flag=True, help="Replace the SVG file if it exists.")
@json_option
@store_option
def history(by: str, least: int, as_csv: bool, plot: Path | None, force: bool, as_json: bool, store_at: Path | None) -> None:
    """Show what recurs over all jobs, the most frequent first."""
    with opened(store_at) as store:
        found = store.history(by, least)
    if plot is not None:
        from memo2list.exports.plot import bars

        send(bars([(r.name, r.times) for r in found[:10]], f"What recurs, by {by}").encode(), plot, force=force)
    rows = [(r.name, r.times, r.jobs, r.done, r.last) for r in found]
    if as_json:
        print_json([asdict(r) for r in found])
    elif as_csv:
        send(csv_of((by, "times", "jobs", "done", "last"), rows), None)
    elif rows:
        show((by.capitalize(), "Times", "Jobs", "Done", "Last"), rows)
    else:
        click.echo("There are no items yet.", err=True)


def csv_of(columns: Sequence[str], rows: Sequence[Sequence[object]]) -> bytes:
    """RFC 4180, with no cell that a spreadsheet would run."""
    import csv
    import io

    from memo2list.exports.safety import safe_cell

    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerows([columns, *([safe_cell(c) if isinstance(c, str) else c for c in row] for row in rows)])
    return out.getvalue().encode()
