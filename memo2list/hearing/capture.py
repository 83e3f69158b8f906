"""A recording while it is made: short pieces of raw samples, safe on disk before the next one, joined to one file afterwards.

A piece is a file of 16-bit little-endian mono samples without a header, so that whatever reached the disk can be used: a
crash costs at most the last second. `recording.json` beside the pieces says their rate. Uploads in chunks are in
`capture_uploads.py`, microphones in `capture_microphone.py`, files that arrive in a folder in `capture_arrivals.py`.
"""

import json
import math
import os
import time
import wave
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from memo2list.errors import InputError
from memo2list.hearing.capture_uploads import Received, receive_chunk, received_bytes

if TYPE_CHECKING:
    import numpy as np

PIECE_S = 15  # a piece ends at the first quiet moment after this,
LONGEST_PIECE_S = 25  # or here at the latest
SYNC_S = 1  # how much a power cut can cost
QUIET_DB = -45.0  # below this a block counts as a pause between words
SILENT_DB = -60.0  # below this nothing reaches the microphone
FULL_SCALE = 32767
ABOUT = "recording.json"


@dataclass(frozen=True, slots=True)
class Level:
    """How loud a block is, in dB below full scale (0 is the loudest there is), and whether it is clipped."""

    peak_db: float
    mean_db: float
    clipped: bool


def level(block: "np.ndarray") -> Level:
    """The level of a block of 16-bit samples; -inf dB for silence. Three samples at full scale count as clipped."""
    import numpy as np

    if not block.size:
        return Level(-math.inf, -math.inf, False)
    sizes = np.abs(block.astype(np.float64))
    return Level(decibels(float(sizes.max())), decibels(float(np.sqrt(np.mean(sizes**2)))), int((sizes >= FULL_SCALE).sum()) >= 3)


def decibels(size: float) -> float:
    """
    >>> round(decibels(32767)), round(decibels(3276.7)), decibels(0)
    (0, -20, -inf)
    """
    return 20 * math.log10(size / FULL_SCALE) if size > 0 else -math.inf


class PieceWriter:
    """Writes blocks of samples as pieces into a folder of its own. `finished` are the pieces that will not grow any more."""

    def __init__(self, folder: Path, rate: int):
        self.folder, self.rate = folder, rate
        self.finished: list[Path] = []
        self.samples = 0
        folder.mkdir(parents=True, exist_ok=False)
        (folder / ABOUT).write_text(json.dumps({"rate": rate}), encoding="utf-8")
        self._number = self._in_piece = self._unsynced = 0
        self._begin()

    def write(self, block: "np.ndarray") -> None:
        """Adds 16-bit mono samples; on disk at the latest a second of sound later."""
        self._file.write(block.astype("<i2").tobytes())
        self.samples += block.size
        self._in_piece += block.size
        self._unsynced += block.size
        if self._unsynced >= SYNC_S * self.rate:
            self._sync()
        quiet = level(block).mean_db < QUIET_DB
        if self._in_piece >= (PIECE_S if quiet else LONGEST_PIECE_S) * self.rate:
            self._end()
            self._begin()

    def still_here(self) -> None:
        """During a pause: keeps others from taking this recording for a stopped one."""
        os.utime(self.folder / ABOUT)

    def close(self) -> None:
        if not self._file.closed:
            self._end()

    def _begin(self) -> None:
        self._number += 1
        self._in_piece = 0
        self._file = (self.folder / f"piece-{self._number:05}.pcm").open("xb")

    def _end(self) -> None:
        self._sync()
        self._file.close()
        self.finished.append(Path(self._file.name))

    def _sync(self) -> None:
        self._file.flush()
        os.fsync(self._file.fileno())
        self._unsynced = 0


def pieces(folder: Path) -> tuple[Path, ...]:
    return tuple(sorted(folder.glob("piece-*.pcm")))


def join(folder: Path, target: Path) -> int:
    """Joins the pieces in `folder` to one WAV file and gives its length in milliseconds; the pieces stay.

    The target appears whole or not at all. Raises InputError where it exists already, or there is nothing to join.
    """
    if target.exists():
        raise InputError(target, "is there already.", "Choose another name.")
    found = pieces(folder)
    if not any(p.stat().st_size > 1 for p in found):
        raise InputError(folder, "holds no recorded sound.", "Remove the folder, and record again.")
    rate = int(json.loads((folder / ABOUT).read_text(encoding="utf-8"))["rate"])
    partial = target.with_name(f".{target.name}.part")
    with partial.open("wb") as out:
        write_wave(out, found, rate)
        out.flush()
        os.fsync(out.fileno())
    spoken_until = max(p.stat().st_mtime_ns for p in found)  # also where it is joined long after: it tells when it began
    os.utime(partial, ns=(spoken_until, spoken_until))
    os.replace(partial, target)
    return round(sum(p.stat().st_size // 2 for p in found) * 1000 / rate)


def write_wave(out: object, found: "tuple[Path, ...] | list[Path]", rate: int) -> None:
    """The samples of these pieces as a WAV file; half a sample at the end of a broken piece is left out."""
    with wave.open(out, "wb") as sound:  # type: ignore[call-overload]
        sound.setnchannels(1)
        sound.setsampwidth(2)
        sound.setframerate(rate)
        for piece in found:
            data = piece.read_bytes()
            sound.writeframesraw(data[: len(data) // 2 * 2])


def remove_pieces(folder: Path) -> None:
    """After joining: removes the pieces and their folder."""
    for piece in pieces(folder):
        piece.unlink()
    (folder / ABOUT).unlink(missing_ok=True)
    folder.rmdir()


def unfinished(parent: Path, idle_s: float = 5.0) -> tuple[Path, ...]:
    """Folders of recordings that were never joined and have been still for a while: something stopped them on the way."""
    found = sorted(p.parent for p in parent.glob(f"*/{ABOUT}")) if parent.is_dir() else []
    return tuple(f for f in found if time.time() - max(p.stat().st_mtime for p in f.iterdir()) >= idle_s)


__all__ = [
    "Level",
    "PieceWriter",
    "Received",
    "join",
    "level",
    "pieces",
    "receive_chunk",
    "received_bytes",
    "remove_pieces",
    "unfinished",
    "write_wave",
]
