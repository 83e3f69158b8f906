"""`memo2list extract`: the public contract."""

from pathlib import Path

import click

from memo2list.command_line.output import is_list_json, send
from memo2list.command_line.progress import hearing_progress, tell_reader
from memo2list.settings import READERS, load_settings

FORMATS = ("json", "csv", "markdown", "text")


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--format", "format_name", type=click.Choice(FORMATS), default="json", show_default=True, help="What to print.")
@click.option("-o", "--output", "out", type=click.Path(path_type=Path), help="Write to this file instead of printing.")
@click.option("--force", is_flag=True, help="Replace the file if it exists (a list in JSON is replaced anyway).")
@click.option("--model", help="Name of the speech model, or a folder that holds one.")
@click.option("--reader", type=click.Choice(READERS), help="Who reads the words.")
def extract(file: Path, format_name: str, out: Path | None, force: bool, model: str | None, reader: str | None) -> None:
    """Hear or read FILE and print its list; nothing is stored.

    FILE is sound or video, WebVTT, SRT, a transcript in memo2list's own JSON, or text with a time such as [1:05] before
    each stretch.
    """
    from memo2list.exports import Sheet, exporter
    from memo2list.hearing import unfinished_folder
    from memo2list.pipeline import process, words_of

    settings = load_settings()
    name, weights = model_of(model or settings.model)
    with hearing_progress(file.name) as progress:
        reader, folder = reader or settings.reader, unfinished_folder()
        _, _, punch_list = process(
            file,
            model=name,
            weights=weights,
            reader=reader,
            work_folder=folder,
            progress=progress,
            own_words=words_of(settings),
        )
    data = exporter(format_name).write(Sheet(punch_list, title=file.name if format_name != "json" else "", settings=settings))
    send(data, out, force=force or (format_name == "json" and out is not None and is_list_json(out)))
    tell_reader(reader or settings.reader)


def model_of(given: str) -> tuple[str, Path | None]:
    """A model's name and the folder to take it from, if one was given.

    >>> model_of("tiny.en")
    ('tiny.en', None)
    """
    folder = Path(given)
    return (folder.name, folder) if folder.is_dir() else (given, None)
