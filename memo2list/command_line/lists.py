"""`memo2list list`, `explain`, `edits` and `export`: one job's list."""

from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from memo2list.command_line.listing import explained, show_items
from memo2list.command_line.output import send
from memo2list.command_line.stores import json_option, opened, print_json, store_option
from memo2list.command_line.tables import show
from memo2list.settings import load_settings

if TYPE_CHECKING:
    from memo2list.records import Item
    from memo2list.store import Store
    from memo2list.store.pictures import KeptPicture


@click.command(name="list")
@click.argument("job")
@json_option
@store_option
def list_(job: str, as_json: bool, store_at: Path | None) -> None:
    """Show the list of JOB as it is now."""
    with opened(store_at) as store:
        name, punch_list = store.job(job).name, store.punch_list(job)
    if as_json:
        from memo2list.exports.contract import to_contract

        print_json(to_contract(punch_list))
        return
    from memo2list.exports import phrasing

    show_items(punch_list.items, load_settings().page, name)
    for question in punch_list.questions:
        click.echo(phrasing.office_line(question))
    for flag in punch_list.flags:
        click.echo(f"Note: {flag.reason}.", err=True)


@click.command()
@click.argument("job")
@click.argument("number")
@json_option
@store_option
def explain(job: str, number: str, as_json: bool, store_at: Path | None) -> None:
    """Why item NUMBER is on the list of JOB: the words, what was understood in them, doubts, and what people changed."""
    with opened(store_at) as store:
        item, names = store.item(job, number), {k.recording.sha256: k.recording.name for k in store.recordings(job)}
        edits = store.edits(job, item.key)
    if as_json:
        print_json({"item": asdict(item), "edits": [asdict(e) for e in edits]})
        return
    for line in explained(item, edits, names, load_settings().page):
        click.echo(line)


@click.command()
@click.argument("job")
@json_option
@store_option
def edits(job: str, as_json: bool, store_at: Path | None) -> None:
    """Show every change that was made to the list of JOB, in order."""
    with opened(store_at) as store:
        made, numbers = store.edits(job), {i.key: i.number for i in store.items(job)}
    if as_json:
        print_json([asdict(edit) for edit in made])
        return
    rows = [
        (e.at[:19].replace("T", " "), e.who, e.kind, numbers.get(e.key) or told_key(e.key), e.field, e.expected, e.new)
        for e in made
    ]
    show(("When", "Who", "Change", "No.", "Field", "Was", "Is"), [["" if c is None else c for c in row] for row in rows])


def told_key(key: str) -> str:
    """What an edit is about that is no item on the list: a speaker, a question for the office, or an item that is gone.

    >>> told_key("speaker-7c98911b5667cbd8-A"), told_key("office-95ece1b0"), told_key("3fa4c1d2")
    ('speaker A', 'for the office', '3fa4c1d2')
    """
    from memo2list.store import naming, office

    if key.startswith(naming.PREFIX):
        return f"speaker {key.rpartition('-')[2]}"
    return "for the office" if key.startswith(office.PREFIX) else key


@click.command()
@click.argument("job")
@click.option("--format", "format_name", default="text", show_default=True, help="One of the formats `memo2list formats` shows.")
@click.option(
    "--for",
    "reader",
    type=click.Choice(["customer", "crew", "office"]),
    default="office",
    show_default=True,
    help="Who reads it.",
)
@click.option(
    "--sheet",
    "kind",
    type=click.Choice(["list", "questions", "chapters"]),
    default="list",
    show_default=True,
    help="All, what is to settle, or (WebVTT) chapters.",
)
@click.option("--recording", default="", help="WebVTT: captions of this recording; else of the first.")
@click.option("--by", type=click.Choice(["place", "trade"]), default="place", show_default=True, help="How items are grouped.")
@click.option("--quotes/--no-quotes", default=None, help="With or without the words that were said.")
@click.option("--pictures/--no-pictures", default=True, help="With or without pictures and stills of videos.")
@click.option("--picture-places", is_flag=True, help="Leave in a picture where it was taken; else that is removed.")
@click.option("-o", "--output", "out", type=click.Path(path_type=Path), help="Write to this file, or into this folder.")
@click.option("--force", is_flag=True, help="Replace the file if it exists.")
@store_option
def export(
    job: str,
    format_name: str,
    reader: str,
    kind: str,
    by: str,
    quotes: bool | None,
    recording: str,
    pictures: bool,
    picture_places: bool,
    out: Path | None,
    force: bool,
    store_at: Path | None,
) -> None:
    """Write the list of JOB as a file for a customer, the crew or the office."""
    from memo2list.errors import InputError
    from memo2list.exports import exporter
    from memo2list.exports.safety import safe_name
    from memo2list.pipeline import UNREADABLE, sheet_of

    chosen = exporter(format_name)
    with opened(store_at) as store:
        asked = {"reader": reader, "kind": kind, "by": by, "quotes": quotes, "recording": recording}
        sheet = sheet_of(store, job, load_settings(), pictures and chosen.pictures, picture_places, **asked)
    for flag in sheet.punch_list.flags:
        if flag.code == UNREADABLE:
            click.echo(f"Note: {flag.reason}", err=True)
    if out is None and not chosen.text:
        raise InputError(format_name, "is no text to print.", "Say where to write it with -o FILE or -o FOLDER.")
    if out is not None and out.is_dir():
        out = out / f"{safe_name(sheet.title)}{chosen.suffix}"
    send(chosen.write(sheet), out, force=force)


@click.command()
def formats() -> None:
    """Show the formats that `export` writes."""
    from memo2list.exports import EXPORTERS

    show(("Format", "Ending", "For"), [(name, e.suffix, e.about) for name, e in EXPORTERS.items()])


@click.command()
@click.argument("job")
@click.argument("number")
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path, exists=False))
@store_option
def attach(job: str, number: str, files: tuple[Path, ...], store_at: Path | None) -> None:
    """Add the pictures FILES to item NUMBER of JOB; they are shown on its sheets.

    With the word `time` as NUMBER each goes to the item that was being talked about when it was taken, as its camera says
    (Exif). `memo2list review` shows them on the timeline, and puts a camera's wrong clock right.
    """
    for file in files:  # all are looked at before any is kept
        look_at(file)
    with opened(store_at) as store:
        item = None if number == "time" else store.item(job, number)
        for file in files:
            store.attach(job, item.key if item else "", file)
        if item is None:
            for line in fallen(store, job, [file.name for file in files]):
                click.echo(line)
            return
    click.echo(f"{len(files)} with item {item.number}, {item.title}.")


def look_at(file: Path) -> None:
    """InputError for a file that is no picture; one in HEIC is kept also where it cannot be shown."""
    from memo2list.errors import InputError
    from memo2list.exports.pictures import knows_heic, scaled
    from memo2list.store.heif_exif import is_heif

    if not file.is_file():
        raise InputError(file, "is not there.", "Check the name and the folder.")
    if knows_heic() or not is_heif(file):
        scaled(file, file.name)


def fallen(store: "Store", job: str, names: list[str]) -> list[str]:
    """Where pictures went by the time they were taken, one line each."""
    items = {i.key: i for i in store.items(job)}
    return [f"{p.name}: {fate(p, items.get(p.key))}" for p in store.pictures(job) if p.name in names]


def fate(picture: "KeptPicture", item: "Item | None") -> str:
    """What became of one picture."""
    if item is None:
        return f"no item; {picture.why or 'its item is not on the list any more'}."
    return f"item {item.number}, {item.title}{', given by hand before' if picture.by_hand else ''}"
