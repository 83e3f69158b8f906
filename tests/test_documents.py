"""Documents cannot drift: what they show exists, and what exists is shown."""

import pathlib
import re
import shlex

import click
import pytest

from memo2list.command_line import COMMANDS, main
from memo2list.exports import EXPORTERS

ROOT = pathlib.Path(__file__).parent.parent
DOCUMENTS = ("README.md", "DEVELOPERS.md")
CODE = re.compile(r"^```[a-z]*\n(.*?)^```", re.MULTILINE | re.DOTALL)


def text_of(name: str) -> str:
    return (ROOT / name).read_text(encoding="utf-8")


def code_lines(name: str) -> list[str]:
    """Lines of a document's code blocks, with continued lines joined."""
    blocks = "\n".join(CODE.findall(text_of(name))).replace("\\\n", " ")
    return [line.strip() for line in blocks.splitlines()]


def commands_shown() -> list[str]:
    lines = [line.removeprefix("$ ").removeprefix(".venv/bin/") for name in DOCUMENTS for line in code_lines(name)]
    return [line for line in lines if line.startswith("memo2list ")]


def check(line: str) -> None:
    """The command and every option of it exist. Raises AssertionError that names what does not."""
    words = [w for w in shlex.split(line, comments=True) if w not in ("|", ">")]
    command: click.Command | None = main
    context = click.Context(main)
    rest = words[1:]
    while isinstance(command, click.Group) and rest and not rest[0].startswith("-"):
        command = command.get_command(context, rest[0])
        assert command is not None, f"{line!r} shows a command that does not exist"
        rest = rest[1:]
    assert command is not None
    known = {option for p in command.params for option in (*p.opts, *p.secondary_opts)} | {"--help", "-h", "--version"}
    for word in rest:
        if word.startswith("-") and not word.lstrip("-").isdigit():
            assert word.split("=")[0] in known, f"{line!r} shows {word}, which {command.name} does not have"


def test_every_command_that_a_document_shows_exists_with_its_options():
    shown = commands_shown()
    assert shown
    for line in shown:
        check(line)


@pytest.mark.parametrize("line", ["memo2list exract walk.m4a", "memo2list extract --fromat json walk.m4a"])
def test_the_check_of_commands_can_fail(line):
    with pytest.raises(AssertionError):
        check(line)


@pytest.mark.parametrize("name", COMMANDS)
def test_the_readme_names_every_command(name):
    assert re.search(rf"\b{re.escape(name)}\b", text_of("README.md")), f"README.md does not mention `memo2list {name}`"


@pytest.mark.parametrize("name", EXPORTERS)
def test_the_readme_names_every_format(name):
    assert re.search(rf"\b{re.escape(name)}\b", text_of("README.md"), re.IGNORECASE), f"README.md does not mention {name}"


def test_every_make_target_that_a_document_shows_is_in_the_makefile():
    targets = set(re.findall(r"^([a-z-]+):", text_of("Makefile"), re.MULTILINE))
    shown = {word for name in DOCUMENTS for line in code_lines(name) for word in re.findall(r"^(?:\$ )?make ([a-z-]+)", line)}
    assert shown
    assert shown <= targets


def test_every_room_is_told_in_the_developers_document():
    rooms = [p.name for p in (ROOT / "memo2list").iterdir() if (p / "__init__.py").is_file()]
    lacking = [room for room in rooms if room not in text_of("DEVELOPERS.md")]
    assert not lacking


def test_the_changelog_has_the_version_of_the_package():
    from memo2list import __version__

    assert __version__ in text_of("CHANGELOG.md")


@pytest.mark.parametrize("name", [*DOCUMENTS, "CHANGELOG.md"])
def test_links_inside_the_project_lead_somewhere(name):
    links = re.findall(r"\]\((?!https?://|#|mailto:)([^)#]+)", text_of(name))
    assert not [link for link in links if not (ROOT / link).exists()]
