"""`memo2list settings`: what is in force, and where it comes from."""

from dataclasses import asdict

import click

from memo2list.command_line.stores import json_option, print_json
from memo2list.command_line.tables import show
from memo2list.settings import load_settings, settings_file, store_folder


@click.command()
@json_option
def settings(as_json: bool) -> None:
    """Show the settings in force, and the file and folder they belong to."""
    found, file = asdict(load_settings()), settings_file()
    if as_json:
        print_json({"file": str(file), "store": str(store_folder()), **found})
        return
    rows: list[tuple[str, object]] = [("file", f"{file}{'' if file.exists() else ' (not there: defaults)'}")]
    rows.append(("store", store_folder()))
    for name, value in found.items():
        for inner, held in value.items() if isinstance(value, dict) else [("", value)]:
            text = ", ".join(held) if isinstance(held, tuple | list) else held
            rows.append((f"{name}.{inner}" if inner else name, text))
    show(("Setting", "Value"), rows)
