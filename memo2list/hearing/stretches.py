"""Cuts sound into stretches at pauses, each short enough for the speech model's window of 30 s.

The cuts come from the voice detector (Silero VAD, shipped with faster-whisper). Neighbouring speech is
packed into one stretch, because the model spends as long on a short window as on a full one.
"""

from typing import TYPE_CHECKING

from memo2list.hearing.media import RATE
from memo2list.hearing.recogniser import Stretch
from memo2list.timing import TimeSpan

if TYPE_CHECKING:
    import numpy as np

LONGEST_S = 28.0  # leaves room for padding in the window of 30 s
PAUSE_MS = 500
PAD_MS = 300
LONGEST_SILENCE_S = 3.0  # a longer silence ends the stretch: in a long silence the model invents words


def voiced(samples: "np.ndarray") -> list[tuple[int, int]]:
    """Where there is a voice, as sample ranges in order, padded a little on both sides."""
    from faster_whisper.vad import VadOptions, get_speech_timestamps

    options = VadOptions(
        min_silence_duration_ms=PAUSE_MS, speech_pad_ms=PAD_MS, max_speech_duration_s=LONGEST_S, min_speech_duration_ms=100
    )
    return [(int(s["start"]), int(s["end"])) for s in get_speech_timestamps(samples, options)]


def pack(ranges: list[tuple[int, int]], longest: int, silence: int) -> list[list[tuple[int, int]]]:
    """Groups neighbouring ranges so that each group spans at most `longest` and holds no gap over `silence`.

    >>> pack([(0, 10), (12, 20), (50, 60)], longest=25, silence=5)
    [[(0, 10), (12, 20)], [(50, 60)]]
    """
    groups: list[list[tuple[int, int]]] = []
    for start, stop in ranges:
        last = groups[-1] if groups else None
        if last and stop - last[0][0] <= longest and start - last[-1][1] <= silence:
            last.append((start, stop))
        else:
            groups.append([(start, stop)])
    return groups


def cut(samples: "np.ndarray", offset: int = 0) -> list[Stretch]:
    """Stretches of the sound with a voice in them. `offset` is the sample number of its first sample in the recording."""
    found = []
    for group in pack(voiced(samples), int(LONGEST_S * RATE), int(LONGEST_SILENCE_S * RATE)):
        start, stop = group[0][0], group[-1][1]
        span = TimeSpan(to_ms(offset + start), to_ms(offset + stop))
        voices = tuple(TimeSpan(to_ms(offset + a), to_ms(offset + b)) for a, b in group)
        found.append(Stretch(span, samples[start:stop], voices))
    return found


def last_pause(samples: "np.ndarray", earliest: int) -> int:
    """A sample number after `earliest` where nobody speaks, as late as possible; the end if there is no pause."""
    ranges = voiced(samples[earliest:])
    if not ranges or len(samples) - earliest - ranges[-1][1] > RATE // 2:
        return len(samples)
    return earliest + ranges[-1][0] if ranges[-1][0] > 0 else len(samples)


def to_ms(samples: int) -> int:
    return round(samples * 1000 / RATE)
