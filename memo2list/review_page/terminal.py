"""A quick pass in the terminal: the same decisions, one key each."""

import getpass

import click

from memo2list.errors import InputError, Memo2listError
from memo2list.exports import phrasing
from memo2list.records import Item
from memo2list.review_page import fields
from memo2list.store import Store
from memo2list.timing import short_clock

ASK = (
    "k keep · d drop · s later · m merge · u undo · q stop\n"
    "change: e element · w what is wrong · a action · h how much · o of what · p place · c certainty · y safety · t title "
    "· n note"
)
FIELDS = {
    "e": "element",
    "w": "issues",
    "a": "actions",
    "h": "quantities",
    "o": "materials",
    "p": "location",
    "c": "certainty",
    "y": "safety",
    "t": "title",
    "n": "note",
}
NOTHING = "-"  # typed to empty a field, for nothing typed leaves it as it is


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
    sure = "" if item.certainty == "stated" else item.certainty
    told = (phrasing.place(item), phrasing.quantities(item.quantities), ", ".join(item.materials), sure, "safety" * item.safety)
    about = "; ".join(filter(None, told))
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
    elif answer in FIELDS:
        change(store, job, item, FIELDS[answer], who)
    elif answer == "m":
        store.merge(job, store.item(job, click.prompt("into which number")).key, [item.key], who)
    elif answer == "u":
        store.undo(job, who)
    elif answer == "s":
        later.add(item.key)
    else:
        click.echo(ASK)


def change(store: Store, job: str, item: Item, name: str, who: str) -> None:
    """One field, typed as in the page's form. Raises InputError for what cannot be, StaleEditError if it changed meanwhile."""
    field, before = fields.BY_NAME[name], getattr(item, name)
    choices = {"yes": ("yes", "no"), "choice": tuple(value for value, _ in field.choices)}.get(field.shape, ())
    hint = f" ({', '.join(choices) if choices else field.hint + ('; ' if field.hint else '') + NOTHING + ' for none'})"
    default = fields.text_of(name, before) or ("no" if choices else "")
    typed = click.prompt(field.label + hint, default=default, show_default=bool(default)).strip()
    if typed == default:
        return
    if choices:
        typed = chosen(field.label, typed, choices)
    after = fields.value_of(name, "" if typed in (NOTHING, "no") else typed, before)
    if after != before:
        store.edit(job, item.key, name, before, after, who)


def chosen(label: str, typed: str, choices: tuple[str, ...]) -> str:
    """The one choice that begins like what was typed; InputError if there is none or there are several."""
    found = [choice for choice in choices if typed and choice.startswith(typed.lower())]
    if len(found) != 1:
        raise InputError(repr(typed[:20]), f"is no answer to {label.lower()!r}.", f"Type one of: {', '.join(choices)}.")
    return found[0]
