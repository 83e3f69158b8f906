"""Imports run one way: each room may use only the rooms before it."""

import ast
import pathlib
from typing import get_args

import pytest

from memo2list import records
from memo2list.review_page import view_models

PACKAGE = pathlib.Path(__file__).parent.parent / "memo2list"
ORDER = [
    {"errors", "timing"},
    {"known_weights", "records", "trees"},
    {"settings", "weights", "vocabulary", "transcript_json", "judging"},
    {"hearing", "reading", "listing", "store", "exports"},
    {"pipeline"},
    {"review_page"},
    {"command_line"},
]
LEVEL = {room: level for level, rooms in enumerate(ORDER) for room in rooms}


def room_of(path: pathlib.Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imported_rooms(path: pathlib.Path) -> set[str]:
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.split(".")[0] == "memo2list":
            parts = node.module.split(".")
            found |= {parts[1]} if len(parts) > 1 else {alias.name for alias in node.names}
        elif isinstance(node, ast.Import):
            found |= {a.name.split(".")[1] for a in node.names if a.name.startswith("memo2list.")}
    return found & set(LEVEL)


FILES = [p for p in sorted(PACKAGE.rglob("*.py")) if room_of(p) not in ("__init__", "__main__")]


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_a_room_imports_only_rooms_before_it(path):
    own = room_of(path)
    assert own in LEVEL, f"{own} is a room the architecture does not know; add it to ORDER and to DEVELOPERS.md"
    for other in imported_rooms(path) - {own}:
        assert LEVEL[other] < LEVEL[own], f"{path.name} in {own} imports {other}, which is not before it"


def test_the_check_sees_imports():
    """The test above must be able to fail: the pipeline is known to import other rooms."""
    assert imported_rooms(PACKAGE / "records.py") == {"timing"}


@pytest.mark.parametrize("reason", [records.NOTE_TO_SELF, records.AFTER_THE_END])
def test_why_something_is_set_aside_is_written_in_one_room(reason):
    """The page, the commands and the list speak of the same reason, so none spells it out for itself."""
    rooms = {room_of(p) for p in FILES for node in ast.walk(ast.parse(p.read_text("utf-8"))) if is_text(node, reason)}
    assert rooms == {"records"}


def is_text(node: ast.AST, text: str) -> bool:
    return isinstance(node, ast.Constant) and node.value == text


def test_every_reason_has_words_on_the_page():
    reasons = {*get_args(records.Status), records.NOTE_TO_SELF, records.AFTER_THE_END} - {"stated"}
    assert set(view_models.WHY_ASIDE) == reasons
