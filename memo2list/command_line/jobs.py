"""`memo2list add`, `again`, `jobs` and `remove`: recordings into jobs."""

from collections.abc import Callable, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from memo2list.command_line.extract import model_of
from memo2list.command_line.progress import hearing_progress, tell_reader
from memo2list.command_line.stores import json_option, opened, print_json, store_option
from memo2list.command_line.tables import show
from memo2list.errors import InputError, JobExistsError, Memo2listError, UnknownJobError
from memo2list.settings import READERS, Settings, load_settings

if TYPE_CHECKING:
    from memo2list.records import Transcript
    from memo2list.store import Store
    from memo2list.store.again import AgainReport


@click.command()
@click.argument("job")
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--customer", default="", help="Whose property it is.")
@click.option("--address", default="", help="Where the property is.")
@click.option("--new", "must_be_new", is_flag=True, help="Stop if there is a job of that name already.")
@click.option("--model", help="Name of the speech model, or a folder that holds one.")
@click.option("--reader", type=click.Choice(READERS), help="Who reads the words.")
@store_option
def add(
    job: str,
    files: tuple[Path, ...],
    customer: str,
    address: str,
    must_be_new: bool,
    model: str | None,
    reader: str | None,
    store_at: Path | None,
) -> None:
    """Hear or read FILES and keep them with their list in JOB, which is made if it is not there.

    A file that cannot be used is told and left out; the others are kept.
    """
    settings = load_settings()
    with opened(store_at) as store:
        if must_be_new and _exists(store, job):
            raise JobExistsError(job)
        troubles = _add_files(store, job, (customer, address), files, _listener(model or settings.model), settings)
        if len(troubles) < len(files):
            report = _list_again(store, job, reader or settings.reader)
            _tell(store, job, report)
            tell_reader(reader or settings.reader)
        for trouble in troubles:
            click.echo(f"memo2list: {' '.join(trouble.split())}", err=True)
    if troubles:
        raise SystemExit(1)


@click.command()
@click.argument("job")
@click.option("--hear", is_flag=True, help="Hear the recordings again too, not only read what was heard.")
@click.option("--model", help="Name of the speech model, or a folder that holds one.")
@click.option("--reader", type=click.Choice(READERS), help="Who reads the words.")
@store_option
def again(job: str, hear: bool, model: str | None, reader: str | None, store_at: Path | None) -> None:
    """Read JOB again, with everything that was decided kept, and say what is new, gone and changed."""
    from memo2list.pipeline import words_of

    settings = load_settings()
    with opened(store_at) as store:
        if hear:
            listen = _listener(model or settings.model)
            for kept in store.recordings(job):
                heard = listen(kept.file, kept.recording.name, words_of(settings, store, job))
                store.hear_again(job, _named(heard, kept.recording.name))
        _tell(store, job, _list_again(store, job, reader or settings.reader))


@click.command()
@json_option
@store_option
def jobs(as_json: bool, store_at: Path | None) -> None:
    """Show the jobs there are, the newest first."""
    with opened(store_at) as store:
        found = store.jobs()
    if as_json:
        print_json([{n: v for n, v in asdict(job).items() if n != "id"} for job in found])
        return
    if not found:
        click.echo("There are no jobs yet. `memo2list add JOB FILE` makes one.", err=True)
        return
    rows = [(j.name, j.customer, j.address, j.made_at[:10], j.recordings, j.items, j.open, j.unreviewed) for j in found]
    show(("Job", "Customer", "Address", "Made", "Recordings", "Items", "Open", "Unreviewed"), rows)


@click.command()
@click.argument("job")
@click.option("--yes", is_flag=True, help="Do not ask; for scripts.")
@store_option
def remove(job: str, yes: bool, store_at: Path | None) -> None:
    """Remove JOB with its recordings, list and changes, completely and for good."""
    with opened(store_at) as store:
        found = store.job(job)
        if not yes:
            click.confirm(f"Remove {found.name!r} with {found.recordings} recordings and {found.items} items?", abort=True)
            click.confirm("They cannot be brought back. Remove them?", abort=True)
        store.remove_job(job)
    click.echo(f"{found.name} is removed.")


Listen = Callable[[Path, str, Sequence[str]], "Transcript"]  # file, name to show, the job's own words


def _exists(store: "Store", job: str) -> bool:
    try:
        store.job(job)
    except UnknownJobError:
        return False
    return True


def _listener(model: str) -> Listen:
    """What turns a file into a transcript, with a bar on a terminal."""
    from memo2list.hearing import hear, unfinished_folder
    from memo2list.vocabulary.lexicon import load_lexicon

    name, weights = model_of(model)
    lexicon = load_lexicon()

    def listen(file: Path, shown: str, own_words: Sequence[str]) -> "Transcript":
        with hearing_progress(shown) as progress:
            return hear(
                file,
                weights=weights,
                model=name,
                lexicon=lexicon,
                progress=progress,
                own_words=own_words,
                work_folder=unfinished_folder(),
            )

    return listen


def _add_files(
    store: "Store", job: str, whose: tuple[str, str], files: tuple[Path, ...], listen: Listen, settings: Settings
) -> list[str]:
    """Keeps each file as soon as it is heard; gives what was wrong with the others. The job is made with its first file."""
    from memo2list.pipeline import keep_recording, words_of

    troubles = []
    for file in files:
        try:
            _refuse_known(store, job, file)
            transcript = listen(file, file.name, (*words_of(settings, store, job), *whose))
            if not _exists(store, job):
                store.add_job(job, *whose)
            keep_recording(store, job, file, transcript)
        except Memo2listError as error:
            troubles.append(str(error))
    return troubles


def _refuse_known(store: "Store", job: str, file: Path) -> None:
    """Says so before a long hearing, not after it."""
    from memo2list.hearing.hear import sha256_of

    if file.is_file() and _exists(store, job) and store.has_recording(job, sha256_of(file)):
        raise InputError(file.name, f"is in job {job!r} already.", f"`memo2list again {job!r}` reads it again.")


def _list_again(store: "Store", job: str, reader: str) -> "AgainReport":
    from memo2list.pipeline import list_transcripts

    return store.save_list(job, list_transcripts(store.transcripts(job), reader=reader))


def _named(transcript: "Transcript", name: str) -> "Transcript":
    """Under the name the user gave the file, not the one it has in the store."""
    from dataclasses import replace

    return replace(transcript, recording=replace(transcript.recording, name=name))


def _tell(store: "Store", job: str, report: "AgainReport") -> None:
    found = store.job(job)
    click.echo(f"{found.name}: {found.items} items, {found.unreviewed} to review. `memo2list list {found.name!r}` shows them.")
    told = [("new", report.new), ("changed", report.changed), ("gone", report.gone), ("gone but kept", report.kept)]
    items = {i.key: i for i in store.items(job)}
    if not (report.same or report.changed or report.gone):
        return
    for word, keys in told:
        for key in keys:
            title = f"{items[key].number}  {items[key].title}" if key in items else key
            click.echo(f"  {word}: {title}")
