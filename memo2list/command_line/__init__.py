"""The command `memo2list`. Commands live one group a file and are imported when called, so that `--help` is instant.

To add a command: write it in a module here, and add one line to COMMANDS with the module and the sentence that `--help`
shows. Exit codes: 0 done, 1 trouble in what was handed in (said in one line), 2 wrong call.
"""

import importlib
import sys
from typing import Any

import click

from memo2list import __version__
from memo2list.errors import Memo2listError

COMMANDS: dict[str, tuple[str, str]] = {
    "extract": ("extract", "Hear or read one file and print its list; nothing is stored."),
    "add": ("jobs", "Hear or read files and keep them with their list in a job."),
    "again": ("jobs", "Read a job again; what was decided is kept."),
    "jobs": ("jobs", "Show the jobs there are."),
    "list": ("lists", "Show the list of a job."),
    "search": ("search", "Find items in all jobs by words, and by what they are about."),
    "history": ("search", "Show what recurs over all jobs."),
    "export": ("lists", "Write the list of a job as a file, for a customer, the crew or the office."),
    "explain": ("lists", "Say why an item is on the list."),
    "attach": ("lists", "Add pictures to an item."),
    "remove": ("jobs", "Remove a job and everything that belongs to it."),
    "review": ("review", "Go through a list: listen, correct, sign off."),
    "edits": ("lists", "Show every change that was made to a list."),
    "formats": ("lists", "Show the formats that export writes."),
    "lexicon": ("lexicon", "Check the lexicon, try a sentence on it, and add words of your own."),
    "settings": ("settings", "Show the settings in force, and where they come from."),
    "models": ("models", "Show or fetch the speech models and the deep reader."),
    "walks": ("walks", "Save a reviewed job as a walkthrough to train the deep reader on."),
    "record": ("record", "Record from a microphone, into a file or a job."),
    "watch": ("watch", "Take in recordings that arrive in a folder; each finds its job."),
    "demo": ("demo", "Hear the walkthrough that comes with memo2list, and show its list."),
}


class LazyGroup(click.Group):
    """A group that knows its commands by name and imports them when they are called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(f"memo2list.command_line.{COMMANDS[cmd_name][0]}")
        command = getattr(module, "list_" if cmd_name == "list" else cmd_name.replace("-", "_"))
        assert isinstance(command, click.Command)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, about) for name, (_, about) in COMMANDS.items()])

    def invoke(self, ctx: click.Context) -> Any:
        try:
            return super().invoke(ctx)
        except Memo2listError as error:
            tell_and_stop(str(error))
        except PermissionError as error:
            tell_and_stop(f"{error.filename}: permission was refused. Choose a file or folder that you may use.")
        except OSError as error:
            if isinstance(error, BrokenPipeError):
                raise
            tell_and_stop(f"{error.filename or 'the machine'}: {error.strerror or error}. Put that right, then try again.")


def tell_and_stop(message: str) -> None:
    """One line on standard error, exit code 1."""
    click.echo(f"memo2list: {' '.join(message.split())}", err=True)
    sys.exit(1)


@click.group(cls=LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="memo2list")
def main() -> None:
    """From a recorded walk through a property to a punch list that can be defended, on your own machine."""
