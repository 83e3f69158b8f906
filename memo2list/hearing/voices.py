"""What the voices of a chunk sound like: of each word its colour (cepstra), of words that sound alike a voiceprint.

Mel cepstra after Davis and Mermelstein (1980): a window of 25 ms every 20 ms, 26 mel bands from 100 to 7,600 Hz, cepstra 1–19;
the loudness (cepstrum 0) is left out.
"""

import base64
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import accumulate, pairwise
from typing import Any

import numpy as np

from memo2list.hearing import voice_encoder
from memo2list.hearing.statements import statements_of
from memo2list.hearing.voice_encoder import LENGTH, SIZE, bands_of, voiceprints
from memo2list.hearing.voice_groups import group_of, joined, spread_of
from memo2list.hearing.voice_paths import LEAST_FRAMES, settled
from memo2list.records import Word

RATE = 16_000  # samples a second, mono, as media.sound gives them
HOP, WINDOW, FFT = 320, 400, 512  # samples
BANDS, CEPSTRA = 26, 19
FLOOR = 8  # percentile of a band's power over the chunk that is taken for its noise
QUIET = 25  # percent of the frames in words that are too quiet to tell a voice by
GROUPS, FEWEST, GROUP_FRAMES = 8, 3, 560  # groups of statements that sound alike in one chunk: at most, at least, frames for each
MOST_PRINTS = 8  # stretches of 1.6 s that a group's voiceprint is made of
BLOCK = 4_000  # frames worked on at a time: bounds the memory


@dataclass(frozen=True, slots=True)
class Voices:
    """How the words of one chunk sound, and which of its statements sound alike."""

    counts: tuple[int, ...] = ()  # frames of each word
    frames: np.ndarray = field(
        default_factory=lambda: np.zeros((0, CEPSTRA), np.float16), compare=False
    )  # (sum of counts, CEPSTRA)
    groups: tuple[int, ...] = ()  # the group of each word, −1 where it is in none
    prints: np.ndarray = field(
        default_factory=lambda: np.zeros((0, SIZE), np.float16), compare=False
    )  # (groups, SIZE), zeros: none

    def of_words(self) -> list[np.ndarray]:
        """The frames of each word, float32 of shape (count, CEPSTRA)."""
        ends = (0, *accumulate(self.counts))
        return [self.frames[a:b].astype(np.float32) for a, b in pairwise(ends)]

    def packed(self) -> dict[str, object]:
        """As values that JSON can hold; `unpacked` gives it back equal."""
        frames, prints = (base64.b64encode(a.astype("<f2").tobytes()).decode("ascii") for a in (self.frames, self.prints))
        return {"counts": list(self.counts), "frames": frames, "groups": list(self.groups), "prints": prints}


def unpacked(document: dict[str, Any]) -> Voices:
    """The voices that `Voices.packed` wrote; ValueError, KeyError or TypeError where it did not."""
    counts, groups = (tuple(int(n) for n in document[name]) for name in ("counts", "groups"))
    frames, prints = (np.frombuffer(base64.b64decode(document[n], validate=True), "<f2") for n in ("frames", "prints"))
    return Voices(counts, frames.reshape(sum(counts), CEPSTRA), groups, prints.reshape(-1, SIZE))


def voices_in(samples: np.ndarray, words: Sequence[Word], offset: int = 0) -> Voices:
    """The voices of the words of one chunk: float32 samples at `RATE`, the first of which is sample `offset` of the recording."""
    if len(samples) < WINDOW or not words:
        return Voices((0,) * len(words), groups=(-1,) * len(words))
    power = band_power(samples)
    loud = np.log(power.sum(axis=1) + 1e-12)
    spans = [_frames_of(w, offset, len(power)) for w in words]
    inside = np.concatenate([np.arange(a, b) for a, b in spans])
    heard = loud > np.percentile(loud[inside], QUIET) if len(inside) else loud > 0
    chosen = [a + np.flatnonzero(heard[a:b]) for a, b in spans]
    rows = np.concatenate(chosen)
    frames = cepstra(power)[rows].astype(np.float16)
    counts = tuple(len(c) for c in chosen)
    groups = _grouped(words, Voices(counts, frames).of_words())
    return Voices(counts, frames, groups, _prints(samples, spans, groups))


def _grouped(words: Sequence[Word], frames: Sequence[np.ndarray]) -> tuple[int, ...]:
    """The number of the group that each word belongs to, from 0 on, none left out; −1 for all where there is too little."""
    everything = np.concatenate(frames)
    if len(everything) < LEAST_FRAMES:
        return (-1,) * len(words)
    statements = statements_of(words)
    each = [group_of(np.concatenate([frames[n] for n in s]), (k,)) for k, s in enumerate(statements)]
    many = min(GROUPS, max(FEWEST, len(everything) // GROUP_FRAMES))
    groups = joined([g for g in each if g.count], many, spread_of(everything))
    of_statement = {member: number for number, group in enumerate(groups) for member in group.members}
    labels = settled(words, frames, [of_statement.get(k, -1) for k, s in enumerate(statements) for _ in s])
    order = {number: n for n, number in enumerate(sorted(set(labels)))}
    return tuple(order[x] for x in labels)


def _prints(samples: np.ndarray, spans: Sequence[tuple[int, int]], groups: Sequence[int]) -> np.ndarray:
    """Of each group the mean voiceprint of up to MOST_PRINTS stretches of its words put together, float16 (groups, SIZE)."""
    finer, last = HOP // voice_encoder.HOP, len(samples) // voice_encoder.HOP
    found = np.zeros((max(groups) + 1, SIZE), np.float32)
    stretches: list[np.ndarray] = []
    owners: list[int] = []
    for number in range(len(found)):
        own = [np.arange(finer * a, min(finer * b, last)) for (a, b), g in zip(spans, groups, strict=True) if g == number]
        rows = np.concatenate(own)
        many = min(MOST_PRINTS, len(rows) // LENGTH)
        stretches += [rows[a : a + LENGTH] for a in np.linspace(0, max(0, len(rows) - LENGTH), many).astype(int)]
        owners += [number] * many
    if stretches:
        bands = bands_of(samples, np.concatenate(stretches)).reshape(len(stretches), LENGTH, -1)
        np.add.at(found, owners, voiceprints(bands))
    return (found / (np.linalg.norm(found, axis=1, keepdims=True) + 1e-9)).astype(np.float16)


def band_power(samples: np.ndarray) -> np.ndarray:
    """Power in each mel band, float32 of shape (frames, BANDS)."""
    frames, window = _framed(samples, WINDOW, HOP), np.hanning(WINDOW).astype(np.float32)
    parts = [np.abs(np.fft.rfft(frames[n : n + BLOCK] * window, FFT)) ** 2 @ _mel_bank() for n in range(0, len(frames), BLOCK)]
    return np.concatenate(parts).astype(np.float32)


def cepstra(power: np.ndarray) -> np.ndarray:
    """Mel cepstra 1–19 of band powers with the steady noise taken out, float32 of shape (frames, CEPSTRA)."""
    floor = np.percentile(power, FLOOR, axis=0)
    clean = np.log(np.maximum(power - floor, 0.2 * floor) + 1e-8)
    return (clean @ _cosines()).astype(np.float32)


def _framed(samples: np.ndarray, window: int, hop: int) -> np.ndarray:
    return np.lib.stride_tricks.sliding_window_view(samples, window)[::hop]


def _frames_of(word: Word, offset: int, count: int) -> tuple[int, int]:
    """The first frame of the word and the one after its last."""
    first = (word.span.start_ms * RATE // 1000 - offset) // HOP
    stop = max(first + 1, (word.span.end_ms * RATE // 1000 - offset) // HOP)
    return min(max(0, first), count), min(max(0, stop), count)


@lru_cache(maxsize=1)
def _mel_bank() -> np.ndarray:
    """Triangles, even on the mel scale, shape (FFT // 2 + 1, BANDS)."""
    edges = 700 * (10 ** (np.linspace(_mel(100), _mel(7_600), BANDS + 2) / 2595) - 1)
    hertz = np.fft.rfftfreq(FFT, 1 / RATE)[:, None]
    rising, falling = (hertz - edges[:-2]) / np.diff(edges)[:-1], (edges[2:] - hertz) / np.diff(edges)[1:]
    return np.maximum(0, np.minimum(rising, falling)).astype(np.float32)


def _mel(hertz: float) -> float:
    return float(2595 * np.log10(1 + hertz / 700))


@lru_cache(maxsize=1)
def _cosines() -> np.ndarray:
    rows = np.arange(BANDS)[:, None] + 0.5
    return (np.sqrt(2 / BANDS) * np.cos(np.pi * rows * np.arange(1, CEPSTRA + 1) / BANDS)).astype(np.float32)
