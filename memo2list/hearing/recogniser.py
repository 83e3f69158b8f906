"""What hearing asks of a speech recogniser. `whisper.py` is the real one, `replay.py` stands in for it in tests."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Protocol

from memo2list.records import Word
from memo2list.timing import TimeSpan

if TYPE_CHECKING:
    import numpy as np


@dataclass(frozen=True, slots=True)
class Stretch:
    """Sound between two pauses that is heard in one go. Times count from the start of the recording."""

    span: TimeSpan
    samples: "np.ndarray"  # float32, 16 kHz mono
    voices: tuple[TimeSpan, ...] = ()  # where in the recording the voice detector found a voice

    @property
    def voiced_ms(self) -> int:
        return sum(v.duration_ms for v in self.voices)


@dataclass(frozen=True, slots=True)
class Heard:
    """One hearing of one stretch."""

    stretch: Stretch
    words: tuple[Word, ...]
    log_probability: float = 0.0  # mean over the tokens, natural logarithm
    kept: Any = field(default=None, compare=False, repr=False)  # what the recogniser needs to hear the stretch again


class Recogniser(Protocol):
    """Turns stretches into words. The methods may be called from `workers` threads at once.

    To add one: give it these members and hand it to `hear(recogniser=…)`.
    """

    name: str  # "whisper base int8"
    workers: int
    batch: int  # stretches it likes to hear at a time
    spelling: str  # a digest of what `is_common` answers from; "" where that may change between runs

    def hear(self, stretches: Sequence[Stretch]) -> list[Heard]:
        """One hearing for each stretch."""
        ...

    def hear_slowly(self, heard: Heard) -> Heard:
        """The same stretch by the surest way there is, whatever it costs; asked for where the first hearing lost much."""
        ...

    def hear_again(self, heard: Heard, hotwords: Sequence[str]) -> Heard:
        """The same stretch with words to listen for, at no more than the cost of decoding."""
        ...

    def likelihoods(self, heard: Heard, readings: Sequence[Sequence[str]], hotwords: Sequence[str] = ()) -> list[list[float]]:
        """How likely the sound makes each word of each reading of this stretch: log probabilities, word by word.

        With `hotwords` the recogniser is told beforehand that they may be said.
        """
        ...

    def is_common(self, word: str) -> bool:
        """Whether the recogniser knows the word as one piece; words it spells out of pieces are rare or no words at all."""
        ...
