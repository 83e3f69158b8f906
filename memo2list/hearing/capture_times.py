"""When a recording began: what the file says of itself, else when it was last written, less its length.

Containers name one time of creation (ISO/IEC 14496-12, `mvhd`; QuickTime's own key has the time zone). Recorders differ in
whether it is the start or the end of the recording; where it is the time the file was last written, it is taken for the end.
"""

import datetime
from dataclasses import dataclass
from pathlib import Path

from memo2list.errors import InputError
from memo2list.records import Recording

START_KEYS = ("com.apple.quicktime.creationdate",)  # written by what records: the start, with its time zone
MADE_KEYS = ("creation_time", "date")
SAME_MS = 5_000  # two times nearer than this are the same
FIRST_MS = 631_152_000_000  # 1990: an earlier time is a clock that was never set


@dataclass(frozen=True, slots=True)
class Start:
    """`at_ms` counts from 1970 in UTC; `by` says in words where it comes from."""

    at_ms: int
    by: str


def start_of(file: Path, recording: Recording) -> Start | None:
    """When the recording in that file began; None for transcripts, and where nothing says so."""
    if recording.kind == "transcript" or recording.duration_ms <= 0:
        return None
    written_ms = file.stat().st_mtime_ns // 1_000_000
    tags = tags_of(file)
    for key in START_KEYS:
        if (began := time_ms(tags.get(key, ""))) is not None:
            return Start(began, "the file's own start")
    for key in MADE_KEYS:
        if (made := time_ms(tags.get(key, ""))) is not None:
            ended = abs(made - written_ms) < SAME_MS and recording.duration_ms > SAME_MS
            return Start(made - recording.duration_ms, "the file's own end") if ended else Start(made, "the file's own date")
    if written_ms < FIRST_MS:
        return None
    return Start(written_ms - recording.duration_ms, "when the file was last written, less its length")


def tags_of(file: Path) -> dict[str, str]:
    """What the container says of itself, keys in lower case; nothing for what cannot be opened."""
    import av

    try:
        with av.open(str(file), metadata_errors="ignore") as container:
            streams = [s.metadata for s in (*container.streams.video, *container.streams.audio)]
            return {k.lower(): v for tags in (*streams, container.metadata) for k, v in tags.items()}
    except (av.error.FFmpegError, OSError, InputError):
        return {}


def time_ms(text: str) -> int | None:
    """Milliseconds from 1970 of a date with a time; without a zone it is this machine's. None for anything else.

    >>> time_ms("2025-03-01T08:30:00.000000Z"), time_ms("2025-03-01T09:30:00+0100")
    (1740817800000, 1740817800000)
    >>> time_ms("2025"), time_ms("1904-01-01T00:00:00Z")
    (None, None)
    """
    try:
        found = datetime.datetime.fromisoformat(text.strip())
        at_ms = round(found.timestamp() * 1000)
    except (ValueError, OverflowError, OSError):
        return None
    return at_ms if len(text.strip()) > 10 and at_ms >= FIRST_MS else None
