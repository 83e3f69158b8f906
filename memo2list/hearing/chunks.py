"""Finished chunks of a long recording, kept so that an interrupted run goes on where it was."""

import hashlib
import json
import os
import re
import tempfile
import time
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from memo2list.records import Flag, StretchFlag, Word, WordRange
from memo2list.transcript_json import word_from_dict, word_to_dict

if TYPE_CHECKING:
    from memo2list.hearing.voices import Voices

RATE_PER_MS = 16
FORGET_AFTER_S = 30 * 86_400  # an interrupted run nobody went on with
OURS = re.compile(r"[0-9a-f]{24}-\d{4,}\.json")  # other files in the folder are somebody else's


def unfinished_folder() -> Path:
    """Where the commands keep the finished chunks of a hearing under way: `unfinished` beside the cached weights."""
    from memo2list.weights import default_cache

    return default_cache().parent / "unfinished"


@dataclass(frozen=True, slots=True)
class Chunk:
    """What was heard from one sample up to another; word numbers in `doubts` count from the chunk's first word."""

    start_sample: int
    end_sample: int
    words: tuple[Word, ...]
    doubts: tuple[StretchFlag, ...] = ()
    voices: "Voices | None" = None  # how they sound; None where speakers are not told apart

    @property
    def end_ms(self) -> int:
        return round(self.end_sample / RATE_PER_MS)


def _voices(document: dict[str, Any] | None) -> "Voices | None":
    if document is None:
        return None
    from memo2list.hearing.voices import unpacked

    return unpacked(document)


class KeptChunks:
    """One file for each finished chunk, named by all that decides its content: another recording or model finds nothing."""

    def __init__(self, folder: Path, identity: str):
        self.folder = folder
        self._name = hashlib.sha256(identity.encode()).hexdigest()[:24]

    def path(self, number: int) -> Path:
        return self.folder / f"{self._name}-{number:04d}.json"

    def read(self, number: int) -> Chunk | None:
        """The chunk, or None where it was not finished or its file is damaged."""
        try:
            document = json.loads(self.path(number).read_text(encoding="utf-8"))
            return Chunk(
                int(document["start_sample"]),
                int(document["end_sample"]),
                tuple(word_from_dict(w) for w in document["words"]),
                tuple(
                    StretchFlag(WordRange(d["first"], d["stop"]), Flag(d["code"], d["reason"]), d["other"])
                    for d in document["doubts"]
                ),
                _voices(document.get("voices")),
            )
        except (OSError, ValueError, KeyError, TypeError):
            return None

    def write(self, number: int, chunk: Chunk) -> None:
        """Keeps the chunk: after this call it survives a kill and a loss of power."""
        document = {
            "start_sample": chunk.start_sample,
            "end_sample": chunk.end_sample,
            "words": [word_to_dict(w) for w in chunk.words],
            "doubts": [
                {"first": d.words.first, "stop": d.words.stop, "code": d.flag.code, "reason": d.flag.reason, "other": d.other}
                for d in chunk.doubts
            ],
            "voices": chunk.voices.packed() if chunk.voices else None,
        }
        self.folder.mkdir(parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(prefix=f".{self._name}-", dir=self.folder)
        with os.fdopen(handle, "w", encoding="utf-8") as target:
            json.dump(document, target)
            target.flush()
            os.fsync(target.fileno())
        os.replace(temporary, self.path(number))

    def sweep(self) -> None:
        """Removes chunks, of whatever recording, that were left for longer than `FORGET_AFTER_S`."""
        for path in self.folder.glob("*.json") if self.folder.is_dir() else ():
            with suppress(OSError):
                if OURS.fullmatch(path.name) and path.stat().st_mtime < time.time() - FORGET_AFTER_S:
                    path.unlink()

    def clear(self) -> None:
        """Removes the chunks of this recording: it is heard."""
        for path in (*self.folder.glob(f"{self._name}-*.json"), *self.folder.glob(f".{self._name}-*")):
            path.unlink(missing_ok=True)
