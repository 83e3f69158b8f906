"""`memo2list demo`: the whole path over the walkthrough that comes with memo2list."""

from pathlib import Path

import click

from memo2list.command_line.listing import show_items
from memo2list.command_line.progress import hearing_progress, tell_reader
from memo2list.errors import InputError
from memo2list.settings import READERS, load_settings
from memo2list.timing import short_clock

FOLDER = Path(__file__).parents[2] / "demo_audio"
SOUND_ENDINGS = (".opus", ".ogg", ".m4a", ".mp3", ".flac", ".wav")


@click.command()
@click.option(
    "-o",
    "--output",
    "folder",
    type=click.Path(path_type=Path),
    default=Path("demo_list"),
    show_default=True,
    help="Folder for the files.",
)
@click.option("--reader", type=click.Choice(READERS), help="Who reads the words.")
def demo(folder: Path, reader: str | None) -> None:
    """Hear the walkthrough that comes with memo2list, show its list, and write it to a folder in every format."""
    from memo2list.exports import EXPORTERS, Sheet
    from memo2list.exports.safety import write_whole
    from memo2list.pipeline import process

    settings = load_settings()
    sound = demo_recording()
    with hearing_progress(sound.name) as progress:
        transcript, _, punch_list = process(sound, reader=reader or settings.reader, progress=progress)
    heard = f"{sound.name}: {short_clock(transcript.recording.duration_ms)} long, {len(transcript.words)} words"
    click.echo(f"{heard}, {len(punch_list.items)} items, {len(punch_list.set_aside)} set aside.\n")
    show_items(punch_list.items, settings.page)
    tell_reader(reader or settings.reader)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError(folder, f"cannot be made ({error.strerror}).", "Say -o with a folder that may be written to.") from None
    click.echo(f"\nWritten to {folder.resolve()}:")
    for name, exporter in EXPORTERS.items():
        write_whole(
            folder / f"list{exporter.suffix}", exporter.write(Sheet(punch_list, sound.stem, settings=settings)), force=True
        )
        click.echo(f"  list{exporter.suffix:<6} {name}: {exporter.about}")


def demo_recording() -> Path:
    """The walkthrough in demo_audio/, found in a checkout. Raises InputError where there is none."""
    found = sorted(p for p in FOLDER.glob("*") if p.suffix in SOUND_ENDINGS)
    if not found:
        raise InputError(
            "demo_audio", "comes with a checkout of memo2list, and there is none here.", "Use `memo2list extract FILE`."
        )
    return found[0]
