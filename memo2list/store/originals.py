"""Files that are kept as they came: recordings and pictures, by their SHA-256, each once."""

import hashlib
import os
import shutil
import tempfile
from pathlib import Path

from memo2list.errors import StoreError
from memo2list.store.database import REMEDY

FOLDER = "originals"


def keep(store: Path, file: Path, expected_sha256: str | None = None) -> tuple[str, str, int]:
    """Copies a file into the store; gives its SHA-256, its name inside the store's folder and its size.

    Raises StoreError if it cannot be copied, or changed since it was heard.
    """
    try:
        with file.open("rb") as source:
            digest = hashlib.file_digest(source, "sha256").hexdigest()
        if expected_sha256 and digest != expected_sha256:
            raise StoreError(f"{file.name}: the file changed while it was heard. Add it again when it is finished.")
        name = f"{FOLDER}/{digest[:2]}/{digest}{safe_ending(file)}"
        _copy(file, store / name)
    except OSError as error:
        raise StoreError(f"{store}: the original of {file.name} cannot be kept ({error.strerror}). {REMEDY}") from None
    return digest, name, (store / name).stat().st_size


def safe_ending(file: Path) -> str:
    """The file's ending if it is a usual one: it decides how a player or browser treats the file.

    >>> safe_ending(Path("walk.M4A")), safe_ending(Path("walk.x y"))
    ('.m4a', '')
    """
    ending = file.suffix.lower()
    return ending if ending[1:].isascii() and ending[1:].isalnum() and len(ending) <= 6 else ""


def remove(store: Path, name: str) -> None:
    """Deletes a kept file, and its folder if that is empty now."""
    path = store / name
    path.unlink(missing_ok=True)
    if path.parent.is_dir() and not any(path.parent.iterdir()):
        path.parent.rmdir()


def _copy(file: Path, kept: Path) -> None:
    if kept.exists() and kept.stat().st_size == file.stat().st_size:
        return
    kept.parent.mkdir(parents=True, exist_ok=True)
    handle, temporary = tempfile.mkstemp(dir=kept.parent, prefix=".part-")
    try:
        with os.fdopen(handle, "wb") as out, file.open("rb") as source:
            shutil.copyfileobj(source, out, 1 << 20)
            out.flush()
            os.fsync(out.fileno())
        os.replace(temporary, kept)
        _flush_folder(kept.parent)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise


def _flush_folder(folder: Path) -> None:
    if os.name == "posix":
        opened = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(opened)
        finally:
            os.close(opened)
