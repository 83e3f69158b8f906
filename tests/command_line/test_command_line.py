"""The command as a whole: help, exit codes, one line for trouble."""

import json
import subprocess
import sys

import click
import pytest
from click.testing import CliRunner

from memo2list.command_line import COMMANDS, main

TALK = """\
[0:01] A: Okay, we are at the front porch.
[0:04] A: The bottom rail is rotten, replace it.
[0:09] A: No rot in the soffit.
"""


@pytest.fixture
def run():
    return lambda *words: CliRunner().invoke(main, [str(w) for w in words])


@pytest.fixture
def walk(tmp_path):
    path = tmp_path / "walk.txt"
    path.write_text(TALK)
    return path


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help_and_the_sentence_the_list_shows(name, run):
    result = run(name, "--help")
    assert result.exit_code == 0
    assert COMMANDS[name][1].endswith(".")
    command = main.get_command(click.Context(main), name)
    assert command is not None
    assert command.help
    assert all(p.help for p in command.params if isinstance(p, click.Option))


def test_help_loads_nothing_heavy():
    code = "import sys; from memo2list.command_line import main; main(['--help'], standalone_mode=False); print(*sys.modules)"
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()
    heavy = {"spacy", "numpy", "faster_whisper", "rich", "sqlite_utils", "openpyxl", "fpdf", "starlette", "memo2list.pipeline"}
    assert not heavy & set(loaded)


def test_a_wrong_call_exits_with_2(run):
    assert run("extract").exit_code == 2
    assert run("extract", "x", "--format", "clay").exit_code == 2
    assert run("no-such-command").exit_code == 2


def test_a_missing_file_is_told_in_one_line_and_exits_with_1(run, tmp_path):
    result = run("extract", tmp_path / "nowhere.wav")
    assert result.exit_code == 1
    assert result.stdout == ""
    assert len(result.stderr.splitlines()) == 1
    assert "nowhere.wav" in result.stderr


@pytest.mark.parametrize(
    ("name", "content"),
    [("empty.wav", b""), ("text.wav", b"this is no sound at all\n"), ("noise.mp4", bytes(range(256)) * 40), ("bad.json", b"{")],
)
def test_a_file_that_cannot_be_used_is_told_in_one_line(name, content, run, tmp_path):
    (tmp_path / name).write_bytes(content)
    result = run("extract", tmp_path / name)
    assert result.exit_code == 1
    assert result.stdout == ""
    assert len(result.stderr.splitlines()) == 1
    assert name in result.stderr


def test_extract_prints_the_contract(run, walk):
    printed = json.loads(run("extract", walk).stdout)
    assert printed["format"] == "memo2list/list"
    assert [i["location"] for i in printed["items"]] == ["front porch"]


def test_extract_replaces_a_list_in_json_but_no_other_file(run, walk, tmp_path):
    out = tmp_path / "list.json"
    assert run("extract", walk, "-o", out).exit_code == 0
    assert run("extract", walk, "-o", out).exit_code == 0
    notes = tmp_path / "notes.csv"
    notes.write_text("mine")
    assert run("extract", walk, "--format", "csv", "-o", notes).exit_code == 1
    assert notes.read_text() == "mine"
    assert run("extract", walk, "--format", "csv", "-o", notes, "--force").exit_code == 0


def test_a_folder_that_is_not_there_leaves_nothing_behind(run, walk, tmp_path):
    result = run("extract", walk, "-o", tmp_path / "none" / "list.json")
    assert result.exit_code == 1
    assert len(result.stderr.splitlines()) <= 1
    assert not (tmp_path / "none").exists()
