"""Times are whole milliseconds from the start of a recording. Seconds appear only at the edges."""

import re
from dataclasses import dataclass

STAMP = re.compile(r"(?:(\d+):)?(\d{1,2}):(\d{2})(?:[.,](\d{1,3}))?")


@dataclass(frozen=True, slots=True, order=True)
class TimeSpan:
    """A stretch of a recording, from `start_ms` up to `end_ms`.

    >>> TimeSpan(61_500, 63_000).clock
    '0:01:01.500'
    """

    start_ms: int
    end_ms: int

    def __post_init__(self) -> None:
        if self.start_ms < 0 or self.end_ms < self.start_ms:
            raise ValueError(f"a time span runs forward from zero, not {self.start_ms}..{self.end_ms} ms")

    @property
    def duration_ms(self) -> int:
        return self.end_ms - self.start_ms

    @property
    def clock(self) -> str:
        return clock(self.start_ms)

    def overlaps(self, other: "TimeSpan", slack_ms: int = 0) -> bool:
        return self.start_ms < other.end_ms + slack_ms and self.end_ms > other.start_ms - slack_ms

    def join(self, other: "TimeSpan") -> "TimeSpan":
        """The shortest span that holds both."""
        return TimeSpan(min(self.start_ms, other.start_ms), max(self.end_ms, other.end_ms))


def clock(ms: int) -> str:
    """Milliseconds as `h:mm:ss.mmm`.

    >>> clock(3_723_004)
    '1:02:03.004'
    """
    return f"{ms // 3_600_000}:{ms // 60_000 % 60:02d}:{ms // 1000 % 60:02d}.{ms % 1000:03d}"


def short_clock(ms: int) -> str:
    """Milliseconds as people write a time in a recording, to the second.

    >>> short_clock(65_000), short_clock(3_723_004)
    ('1:05', '1:02:03')
    """
    hours, minutes, seconds = ms // 3_600_000, ms // 60_000 % 60, ms // 1000 % 60
    return f"{hours}:{minutes:02d}:{seconds:02d}" if hours else f"{minutes}:{seconds:02d}"


def from_clock(text: str) -> int:
    """`m:ss`, `h:mm:ss`, with `.mmm` or `,mmm` if wanted, as milliseconds; ValueError if it is none of these.

    >>> from_clock("1:05"), from_clock("01:02:03,004")
    (65000, 3723004)
    """
    found = STAMP.fullmatch(text.strip())
    if not found:
        raise ValueError(f"{text!r} is no time; write it as 1:05 or 0:01:05.200")
    hours, minutes, seconds, fraction = found.groups()
    return ((int(hours or 0) * 60 + int(minutes)) * 60 + int(seconds)) * 1000 + int((fraction or "0").ljust(3, "0"))


def from_seconds(seconds: float) -> int:
    """Seconds as a library hands them to us, as whole milliseconds.

    >>> from_seconds(12.3456)
    12346
    """
    return max(0, round(seconds * 1000))


def to_seconds(ms: int) -> float:
    """Milliseconds as seconds for a file or a page.

    >>> to_seconds(12_346)
    12.346
    """
    return ms / 1000
