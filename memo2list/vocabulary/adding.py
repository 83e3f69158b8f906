"""Writes a new entry into one of the user's own packs; shipped packs are never written."""

import json
import re
from collections.abc import Mapping, Sequence
from pathlib import Path

from memo2list.errors import InputError
from memo2list.vocabulary.entries import EntryKind
from memo2list.vocabulary.packs import read_file

PLAIN_KEY = re.compile(r"[a-z0-9_-]+")
PACK_NAME = re.compile(r"[a-z][a-z0-9_]*")


def entry_text(name: str, values: Mapping[str, str | bool | Sequence[str]]) -> str:
    """The TOML table of one entry; keys without a value are left out.

    >>> print(entry_text("bird stop", {"forms": ["eave closure"], "part_of": ""}))
    ["bird stop"]
    forms = ["eave closure"]
    """
    lines = [f"[{name}]" if PLAIN_KEY.fullmatch(name) else f"[{json.dumps(name)}]"]
    for key, value in values.items():
        if isinstance(value, bool):
            lines += [f"{key} = true"] if value else []
        elif isinstance(value, str):
            lines += [f"{key} = {json.dumps(value, ensure_ascii=False)}"] if value else []
        elif value:
            lines.append(f"{key} = [{', '.join(json.dumps(v, ensure_ascii=False) for v in value)}]")
    return "\n".join(lines)


def add_entry(own: Path, pack: str, kind: EntryKind, name: str, values: Mapping[str, str | bool | Sequence[str]]) -> Path:
    """Adds an entry to the pack in the user's folder `own` and gives the file it went to.

    Raises `InputError` if the pack name is unfit, or the pack has an entry of that kind and name already.
    """
    if not PACK_NAME.fullmatch(pack):
        raise InputError(pack, "cannot be the name of a pack.", "Use lower-case letters, digits and underlines.")
    name = " ".join(name.lower().split())
    if not name:
        raise InputError("the name", "is empty.", "Give the plainest trade word, singular.")
    path = own / pack / f"{kind}s.toml"
    if path.exists():
        existing = read_file(path, pack)
        if existing.problems:
            raise InputError(path, existing.problems[0].what, existing.problems[0].remedy)
        if any(e.name == name for e in existing.entries):
            raise InputError(path, f"has {name!r} already.", "Change it there with any editor.")
    path.parent.mkdir(parents=True, exist_ok=True)
    before = path.read_text(encoding="utf-8").rstrip() + "\n\n" if path.exists() else ""
    temporary = path.with_suffix(".part")
    temporary.write_text(before + entry_text(name, values) + "\n", encoding="utf-8")
    temporary.replace(path)
    return path
