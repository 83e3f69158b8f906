"""What hearing asks of a speech recogniser. `whisper.py` is the real one, `replay.py` stands in for it in tests."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from memo2list.records import Word
from memo2list.timing import TimeSpan

if TYPE_CHECKING:
    import numpy as np


@dataclass(frozen=True, slots=True)
class Stretch:
    """Sound between two pauses that is heard in one go. Times count from the start of the recording."""

    span: TimeSpan
    samples: "np.ndarray"  # float32, 16 kHz mono
    voiced_ms: int = 0  # how much of it holds a voice, by the voice detector


class Recogniser(Protocol):
    """Turns a stretch into words.

    To add one: give it these members and hand it to `hear(recogniser=…)`; `hear` may be called from
    several threads at once, `workers` says from how many.
    """

    name: str  # "whisper base int8"
    workers: int

    def hear(self, stretch: Stretch, hotwords: Sequence[str] = ()) -> tuple[Word, ...]:
        """The words of the stretch with times in the recording; `hotwords` are words to listen for."""
        ...
