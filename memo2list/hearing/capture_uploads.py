"""Files that come over the local network in chunks, resumable after a broken connection, checked by their SHA-256."""

import hashlib
import logging
import os
import re
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from memo2list.errors import InputError

GOOD_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,99}")
LOG = logging.getLogger(__name__)
_SENDING = threading.Lock()
_UNLOCKED: set[Path] = set()  # folders without locks, each warned of once


@dataclass(frozen=True, slots=True)
class Received:
    """How far an upload has come; `file` is set once it is complete and its hash is right."""

    bytes: int
    file: Path | None = None


def receive_chunk(folder: Path, upload_id: str, offset: int, data: bytes, sha256: str | None = None) -> Received:
    """Adds one chunk of an upload at `offset` bytes.

    `sha256`, given with the last chunk (which may be empty), is that of the whole file: where it is right, the file gets
    its final name `folder/upload_id`; where it is wrong, the upload is thrown away. A chunk sent twice does no harm, nor
    does the last one after completion. Raises InputError for a name that is no plain one, a chunk that leaves a gap
    (the sender asks `received_bytes` and goes on from there) and a wrong hash.
    """
    _target(folder, upload_id)
    folder.mkdir(parents=True, exist_ok=True)
    with alone_in(folder):
        return add_chunk(folder, upload_id, offset, data, sha256)


def add_chunk(folder: Path, upload_id: str, offset: int, data: bytes, sha256: str | None = None) -> Received:
    """The same for one who is `alone_in` that folder already, as one is who looks at an upload before adding to it."""
    target = _target(folder, upload_id)
    partial = target.with_name(f"{upload_id}.part")
    if target.exists():
        return Received(target.stat().st_size, target)
    have = partial.stat().st_size if partial.exists() else 0
    if offset < 0 or offset > have:
        raise InputError(target.name, f"has {have} bytes so far; this chunk begins at {offset}.", f"Go on from byte {have}.")
    with partial.open("r+b" if partial.exists() else "xb") as out:
        out.seek(offset)
        out.write(data)
        out.flush()
        os.fsync(out.fileno())
    have = max(have, offset + len(data))
    return _finished(partial, target, sha256, have) if sha256 is not None else Received(have)


@contextmanager
def alone_in(folder: Path) -> Iterator[None]:
    """One sender at a time: two pages that send the same file take turns, in this process and (on POSIX) in others.

    Some network file systems know no flock (flock(2): ENOLCK, EOPNOTSUPP): there, only this process takes turns, and a
    warning is logged once a folder.
    """
    with _SENDING:
        opened = os.open(folder, os.O_RDONLY) if os.name == "posix" else None
        try:
            if opened is not None:
                _lock(opened, folder)
            yield
        finally:
            if opened is not None:
                os.close(opened)  # and with it the lock


def _lock(opened: int, folder: Path) -> None:
    import fcntl

    try:
        fcntl.flock(opened, fcntl.LOCK_EX)
    except OSError as error:
        if folder not in _UNLOCKED:
            _UNLOCKED.add(folder)
            LOG.warning("%s cannot be locked (%s): do not send one file to two programs at once.", folder, error.strerror)


def received_bytes(folder: Path, upload_id: str) -> int:
    """From which byte the sender goes on; 0 for an upload that is not known."""
    target = _target(folder, upload_id)
    for path in (target, target.with_name(f"{upload_id}.part")):
        if path.exists():
            return path.stat().st_size
    return 0


def _target(folder: Path, upload_id: str) -> Path:
    if not GOOD_ID.fullmatch(upload_id):
        raise InputError(repr(upload_id), "is no name for an upload.", "Use letters, digits, - and _, at most 100.")
    return folder / upload_id


def _finished(partial: Path, target: Path, sha256: str, have: int) -> Received:
    with partial.open("rb") as source:
        digest = hashlib.file_digest(source, "sha256").hexdigest()
    if digest != sha256.lower():
        partial.unlink()
        raise InputError(target.name, "did not arrive as it was sent (its SHA-256 differs).", "Send it again from the start.")
    os.replace(partial, target)
    return Received(have, target)
