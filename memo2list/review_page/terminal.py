"""A quick pass in the terminal: the same decisions, one key each."""

import getpass

import click

from memo2list.errors import Memo2listError
from memo2list.exports import phrasing
from memo2list.records import Item
from memo2list.store import Store
from memo2list.timing import short_clock

ASK = "k keep · d drop · t title · p place · n note · m merge · u undo · s later · q stop"


def quick_pass(store: Store, job: str, who: str = "") -> None:
    """Every line that is still to look at, in order. Raises UnknownJobError; trouble with one change is told and asked again."""
    job, who = store.job(job).name, who or getpass.getuser()
    later: set[str] = set()
    click.echo(ASK)
    while (item := next_waiting(store, job, later)) is not None:
        click.echo("\n" + shown(item))
        answer = click.prompt("", prompt_suffix="> ", default="k", show_default=False).strip().lower()[:1]
        if answer == "q":
            break
        try:
            decide(store, job, item, answer, who, later)
        except Memo2listError as error:
            click.echo(str(error))
    left = sum(i.review == "unreviewed" for i in store.items(job))
    click.echo(f"\n{left} left to look at." if left else "\nAll looked at.")


def next_waiting(store: Store, job: str, later: set[str]) -> Item | None:
    return next((i for i in store.items(job) if i.review == "unreviewed" and i.key not in later), None)


def shown(item: Item) -> str:
    """What the terminal says of a line: title, place, measures, doubts, and the words it rests on."""
    about = "; ".join(filter(None, (phrasing.place(item), phrasing.quantities(item.quantities), ", ".join(item.materials))))
    lines = [f"{item.number}  {item.title}", f"   {about}"]
    lines += [f"   ~ {flag.reason}" for flag in item.flags] + [f"   ? {question}" for question in item.questions]
    lines += [f"   “{q.text}” {short_clock(q.span.start_ms)}" for q in item.quotes]
    return "\n".join("".join(c for c in line if c.isprintable()) for line in lines)


def decide(store: Store, job: str, item: Item, answer: str, who: str, later: set[str]) -> None:
    """One decision; what is no answer shows the answers there are."""
    if answer == "k":
        store.keep(job, item.key, who)
    elif answer == "d":
        store.drop(job, item.key, click.prompt("why", default="", show_default=False), who)
    elif answer == "t":
        store.edit(job, item.key, "title", item.title, click.prompt("title", default=item.title), who)
    elif answer == "p":
        store.edit(job, item.key, "location", item.location, click.prompt("place", default=item.location or "") or None, who)
    elif answer == "n":
        store.note(job, item.key, click.prompt("note", default=item.note), who)
    elif answer == "m":
        store.merge(job, store.item(job, click.prompt("into which number")).key, [item.key], who)
    elif answer == "u":
        store.undo(job, who)
    elif answer == "s":
        later.add(item.key)
    else:
        click.echo(ASK)
