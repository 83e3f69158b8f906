"""Where a command's result goes: to a file, whole or not at all, or to the terminal or pipe."""

import json
import sys
from pathlib import Path

import click


def send(data: bytes, out: Path | None, *, force: bool = False) -> None:
    """Writes the file named, or prints. Raises InputError for a file that exists (without `force`) or cannot be written."""
    if out is None:
        sys.stdout.buffer.write(data)
        sys.stdout.flush()
        return
    from memo2list.exports.safety import write_whole

    write_whole(out, data, force=force)
    click.echo(f"Wrote {out}", err=True)


def is_list_json(path: Path) -> bool:
    """Whether the file is a list in JSON, which loses nothing by being made again."""
    try:
        held = json.loads(path.read_bytes())
    except (OSError, ValueError):
        return False
    return isinstance(held, dict) and "items" in held
