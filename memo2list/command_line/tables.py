"""Tables for a terminal; in a pipe the same as plain text, one line a row, with tabs between the cells."""

import sys
from collections.abc import Sequence

import click


def show(columns: Sequence[str], rows: Sequence[Sequence[object]], title: str = "") -> None:
    """Prints rows under columns: drawn on a terminal, tab-separated elsewhere."""
    if not sys.stdout.isatty():
        for row in rows:
            click.echo("\t".join(" ".join(str(cell).split()) for cell in row))
        return
    from rich.box import SIMPLE_HEAD
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    table = Table(title=title or None, box=SIMPLE_HEAD, title_justify="left", pad_edge=False)
    for column in columns:
        table.add_column(column, justify="right" if column in ("No.", "Sure", "Items", "Open") else "left", overflow="fold")
    for row in rows:
        table.add_row(*(Text(str(cell)) for cell in row))
    Console().print(table)
