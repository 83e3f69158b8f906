"""Reads the lexicon's TOML files into entries, cue phrases and cautions, with the line each stands on.

A folder of the lexicon holds `elements.toml`, `problems.toml`, `actions.toml`, `materials.toml`, `places.toml` (tables
named after the entry), `cues.toml`, `groups.toml` and `cautions.toml`; which of them it has is its own business.
Faults come back as `Problem`s with file, line and remedy, and the rest is read all the same.
"""

import os
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, fields
from difflib import get_close_matches
from pathlib import Path
from typing import Any, get_args

from memo2list.errors import Problem
from memo2list.vocabulary.entries import CautionRule, CuePhrase, Entry, EntryKind

FILES: dict[str, EntryKind] = {f"{kind}s.toml": kind for kind in get_args(EntryKind)}
OWN_VARIABLE = "MEMO2LIST_LEXICON"
OTHER_FILES = ("cues.toml", "spoken_cues.toml", "groups.toml", "cautions.toml", "examples.toml", "pack.toml")
OWN_KEYS = {f.name for f in fields(Entry)} - {"name", "kind", "pack", "source"}
TEXT_KEYS = {"sense", "part_of", "kind_of", "room", "element", "uniformat", "trade"}
CAUTION_KEYS = {f.name for f in fields(CautionRule)} - {"name"}
CUE_KEYS = {"phrases", "direction", "reach", "false"}
DIRECTIONS = ("forward", "backward", "both", "whole")
HEADER = re.compile(r"""^\s*\[+\s*(?:"([^"]*)"|'([^']*)'|([A-Za-z0-9_-]+))\s*\]+|^(?:"([^"]*)"|([A-Za-z0-9_-]+))\s*=\s*\{""")


@dataclass(frozen=True, slots=True)
class Contents:
    """What the files of some packs say."""

    entries: tuple[Entry, ...] = ()
    cues: tuple[CuePhrase, ...] = ()
    cautions: tuple[CautionRule, ...] = ()
    groups: tuple[tuple[str, tuple[str, ...]], ...] = ()
    problems: tuple[Problem, ...] = ()

    def __add__(self, other: "Contents") -> "Contents":
        return Contents(*(getattr(self, f.name) + getattr(other, f.name) for f in fields(self)))


def shipped_folder() -> Path:
    """Where the lexicon is: inside the installed package, or beside the package in a checkout."""
    package = Path(__file__).resolve().parent.parent
    inside = package / "lexicon"
    return inside if inside.is_dir() else package.parent / "lexicon"


def own_folder() -> Path:
    """Where the user's own packs are looked for: MEMO2LIST_LEXICON, or `lexicon` in the platform's data folder."""
    named = os.environ.get(OWN_VARIABLE)
    if named:
        return Path(named)
    import platformdirs

    return Path(platformdirs.user_data_dir("memo2list", appauthor=False)) / "lexicon"


def pack_folders(root: Path) -> list[Path]:
    """Folders of packs below `root`, `common` first."""
    if not root.is_dir():
        return []
    return sorted((p for p in root.iterdir() if p.is_dir() and any(p.glob("*.toml"))), key=lambda p: (p.name != "common", p.name))


def read_pack(folder: Path) -> Contents:
    """Everything one pack says."""
    contents = Contents()
    for path in sorted(folder.glob("*.toml")):
        contents += read_file(path, folder.name)
    return contents


def read_file(path: Path, pack: str) -> Contents:
    """Everything one file says; a file that is no TOML gives one problem and nothing else."""
    label = f"{pack}/{path.name}"
    try:
        text = path.read_text(encoding="utf-8")
        tables = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        return Contents(problems=(Problem(label, f"is not valid TOML ({error}).", "Correct it at that line."),))
    lines = header_lines(text)
    if path.name in FILES:
        return _entries(FILES[path.name], pack, label, tables, lines)
    reader = {"cues.toml": _cues, "groups.toml": _groups, "cautions.toml": _cautions}.get(path.name)
    if reader:
        return reader(label, tables, lines)
    if path.name in OTHER_FILES:
        return Contents()
    near = get_close_matches(path.name, [*FILES, *OTHER_FILES], 1)
    hint = f"Did you mean {near[0]}?" if near else f"The files of a pack are {', '.join([*FILES, *OTHER_FILES])}."
    return Contents(problems=(Problem(label, "is not a file the lexicon knows.", hint),))


def header_lines(text: str) -> dict[str, int]:
    """Line number of each table's header (the first, where a name comes more than once)."""
    lines: dict[str, int] = {}
    for number, line in enumerate(text.splitlines(), 1):
        found = HEADER.match(line)
        if found:
            lines.setdefault(next(g for g in found.groups() if g is not None), number)
    return lines


def _entries(kind: EntryKind, pack: str, label: str, tables: dict[str, Any], lines: dict[str, int]) -> Contents:
    entries, problems = [], []
    for name, table in tables.items():
        where = f"{label}:{lines.get(name, 1)}"
        if not isinstance(table, dict):
            problems.append(Problem(where, f"{name!r} is no entry.", f"Write [{name}] on a line of its own, and its keys below."))
            continue
        faults = list(_faults(where, name, table, OWN_KEYS))
        problems.extend(faults)
        if name != name.lower().strip():
            problems.append(Problem(where, f"the name {name!r} is not lower case.", f"Write {name.lower().strip()!r}."))
        good = {k: _value(k, v) for k, v in table.items() if k in OWN_KEYS and _right_type(k, v)}
        entries.append(Entry(name=name.lower(), kind=kind, pack=pack, source=where, **good))
    return Contents(entries=tuple(entries), problems=tuple(problems))


def _value(key: str, value: Any) -> Any:
    if key in TEXT_KEYS or key == "safety":
        return value
    return tuple(v if key in ("said", "needs", "causes", "cautions", "fits") else v.lower() for v in value)


def _right_type(key: str, value: Any) -> bool:
    if key == "safety":
        return isinstance(value, bool)
    if key in TEXT_KEYS:
        return isinstance(value, str)
    return isinstance(value, list) and all(isinstance(v, str) for v in value)


def _faults(where: str, name: str, table: dict[str, Any], known: set[str]) -> Iterator[Problem]:
    for key, value in table.items():
        if key not in known:
            near = get_close_matches(key, known, 1)
            hint = f"Did you mean {near[0]!r}?" if near else f"The keys are {', '.join(sorted(known))}."
            yield Problem(where, f"{name!r} has a key {key!r} that the lexicon does not know.", hint)
        elif known is OWN_KEYS and not _right_type(key, value):
            want = "true or false" if key == "safety" else "text in quotes" if key in TEXT_KEYS else 'a list, ["like", "this"]'
            yield Problem(where, f"{key!r} of {name!r} is written the wrong way.", f"Write {want}.")


def _cues(label: str, tables: dict[str, Any], lines: dict[str, int]) -> Contents:
    cues: list[CuePhrase] = []
    problems: list[Problem] = []
    for category, rows in tables.items():
        where = f"{label}:{lines.get(category, 1)}"
        for row in rows if isinstance(rows, list) else [rows]:
            problems.extend(_faults(where, category, row, CUE_KEYS))
            direction = row.get("direction", "forward")
            if direction not in DIRECTIONS:
                problems.append(Problem(where, f"direction {direction!r} is unknown.", f"Write one of {', '.join(DIRECTIONS)}."))
                continue
            reach, false = row.get("reach", 8), row.get("false", False)
            cues.extend(CuePhrase(category, phrase, direction, reach, false) for phrase in row.get("phrases", ()))
    return Contents(cues=tuple(cues), problems=tuple(problems))


def _groups(label: str, tables: dict[str, Any], lines: dict[str, int]) -> Contents:
    """A group is a list of wordings, or one text of single words."""
    return Contents(groups=tuple((name, (words,) if isinstance(words, str) else tuple(words)) for name, words in tables.items()))


def _cautions(label: str, tables: dict[str, Any], lines: dict[str, int]) -> Contents:
    rules: list[CautionRule] = []
    problems: list[Problem] = []
    for name, table in tables.items():
        where = f"{label}:{lines.get(name, 1)}"
        problems.extend(_faults(where, name, table, CAUTION_KEYS))
        missing = [key for key in ("text", "source", "verified") if key not in table]
        if missing:
            problems.append(
                Problem(where, f"caution {name!r} lacks {', '.join(missing)}.", "Every caution names its published source.")
            )
            continue
        lists = {key: tuple(table.get(key, ())) for key in ("elements", "problems", "actions")}
        rules.append(CautionRule(name, table["text"], table["source"], bool(table["verified"]), **lists))
    return Contents(cautions=tuple(rules), problems=tuple(problems))
