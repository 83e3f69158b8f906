"""The option and the opening that all commands with a store share."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from memo2list.settings import STORE_VARIABLE, store_folder

if TYPE_CHECKING:
    from memo2list.store import Store

Command = TypeVar("Command", bound=Callable[..., Any])


def store_option(command: Command) -> Command:
    """Adds `--store DIR` to a command."""
    return click.option(
        "--store",
        "store_at",
        type=click.Path(path_type=Path, file_okay=True),
        help=f"Folder of the store; else {STORE_VARIABLE}, else the platform's data folder.",
    )(command)


def json_option(command: Command) -> Command:
    return click.option("--json", "as_json", is_flag=True, help="Print JSON for a script.")(command)


def opened(store_at: Path | None) -> "Store":
    from memo2list.store import open_store

    return open_store(store_folder(store_at))


def print_json(value: Any) -> None:
    import json

    click.echo(json.dumps(value, ensure_ascii=False, indent=2))
