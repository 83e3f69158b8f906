"""Keeps the compiled lexicon in a JSON file, named after the content it was made from."""

import hashlib
import json
import os
import tempfile
from collections.abc import Sequence
from dataclasses import fields
from pathlib import Path
from typing import Any

from memo2list.vocabulary.compiled import Compiled
from memo2list.vocabulary.entries import CautionRule, CuePhrase, Entry

FORMAT = 3  # raise it when the shape written here changes


def default_folder() -> Path:
    import platformdirs

    return Path(platformdirs.user_cache_dir("memo2list", appauthor=False)) / "lexicon"


def content_key(folders: Sequence[Path]) -> str:
    """A digest of all pack files, and of the code that expands them."""
    digest = hashlib.blake2b(f"{FORMAT}".encode(), digest_size=16)
    code = sorted(Path(__file__).parent.glob("*.py"))
    for path in [p for folder in folders for p in sorted(folder.glob("*.toml"))] + code:
        digest.update(f"\0{path.parent.name}/{path.name}\0".encode())
        digest.update(path.read_bytes())
    return digest.hexdigest()


def load(folder: Path, key: str) -> dict[str, Any] | None:
    """What was kept under `key`; None if there is nothing, or nothing readable."""
    try:
        kept = json.loads((folder / f"{key}.json").read_bytes())
    except (OSError, ValueError):
        return None
    return kept if isinstance(kept, dict) and kept.get("key") == key else None


def keep(folder: Path, key: str, content: dict[str, Any]) -> None:
    """Writes whole or not at all; a folder that cannot be written is no trouble, only slower next time."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(dir=folder, suffix=".part")
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(json.dumps({"key": key, **content}, ensure_ascii=False, separators=(",", ":")))  # `dump` is not in C
        os.replace(temporary, folder / f"{key}.json")
        _drop_old(folder, key)
    except OSError:
        return


def _drop_old(folder: Path, key: str, most: int = 8) -> None:
    kept = sorted((p for p in folder.glob("*.json") if p.stem != key), key=lambda p: p.stat().st_mtime, reverse=True)
    for path in kept[most:]:
        path.unlink(missing_ok=True)


def pack_compiled(compiled: Compiled) -> dict[str, Any]:
    """Patterns travel as their text and are read again when first needed."""
    forms, listed = compiled.table()
    patterns = [[number, how, pattern.text] for number, how, pattern in compiled.patterns]
    return {"forms": forms, "listed": listed, "patterns": patterns, "first": compiled.by_first_token()}


def pack_entry(entry: Entry) -> dict[str, Any]:
    """The fields of an entry that say something."""
    return {f.name: value for f in fields(entry) if (value := getattr(entry, f.name))}


def unpack_entry(row: dict[str, Any]) -> Entry:
    values: dict[str, Any] = {key: tuple(value) if type(value) is list else value for key, value in row.items()}
    return Entry(**values)


def pack_record(record: CuePhrase | CautionRule, fields: Sequence[str]) -> list[Any]:
    """A record as a list of its values in the order of `fields`."""
    return [getattr(record, f) for f in fields]


def unpack_values(row: Sequence[Any]) -> list[Any]:
    return [tuple(v) if isinstance(v, list) else v for v in row]
