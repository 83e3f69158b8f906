"""A bar with the time left while something long is heard, on a terminal only."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from memo2list.hearing import Progress as Reached


@contextmanager
def hearing_progress(name: str) -> Iterator["Callable[[Reached], None] | None"]:
    """Gives the function that hearing calls, or None where nobody watches."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn

    columns = (TextColumn("Hearing {task.description}"), BarColumn(), TextColumn("{task.fields[left]}"))
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(name, total=None, left="")

        def tell(reached: "Reached") -> None:
            left = f"{time_left(reached.left_s)} left" if reached.left_s is not None else ""
            bar.update(task, completed=reached.done_ms, total=reached.total_ms, left=left)

        yield tell


def time_left(seconds: float) -> str:
    """
    >>> time_left(8.2), time_left(125)
    ('8 s', '2 min 5 s')
    """
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes} min {rest} s" if minutes else f"{rest} s"


def tell_reader(asked: str) -> None:
    """One line on standard error where the quick reader read alone because the deep one is not on this machine."""
    from memo2list.pipeline import NOT_HERE, reader_in_use

    if not asked and reader_in_use() == "quick":
        click.echo(f"({NOT_HERE})", err=True)
