"""Voices made on the spot: a buzz of some pitch through a few resonances that move from sound to sound, as in a throat."""

from dataclasses import dataclass

import numpy as np

from memo2list.records import Word
from memo2list.timing import TimeSpan

RATE = 16_000
VOWELS = [(730, 1090, 2440), (270, 2290, 3010), (300, 870, 2240), (530, 1840, 2480), (570, 840, 2410), (660, 1720, 2410)]


@dataclass(frozen=True)
class Throat:
    """`pitch` in Hz, `size` scales every resonance (a shorter throat: higher), `bright` is how little high sound is damped."""

    pitch: float
    size: float = 1.0
    bright: float = 0.5


def resonated(samples, hertz, width):
    """The samples through one resonance (two-pole filter after Klatt 1980), by its impulse response."""
    n = np.arange(int(RATE * 4 / width))
    response = np.exp(-np.pi * width * n / RATE) * np.sin(2 * np.pi * hertz * n / RATE)
    return np.convolve(samples, response / np.abs(response).sum())[: len(samples)]


def spoken(throat, rng, seconds=0.28):
    """One word: two vowels of the throat with a falling pitch and some breath."""
    parts = []
    for vowel in rng.choice(len(VOWELS), 2):
        count = int(RATE * seconds / 2)
        pitch = throat.pitch * 2 ** rng.normal(0, 0.08) * np.linspace(1.05, 0.95, count)
        buzz = np.diff(np.floor(np.cumsum(pitch) / RATE), prepend=0) + 0.02 * rng.standard_normal(count)
        sound = np.convolve(buzz, [1, -throat.bright])[:count]
        for hertz, width in zip(VOWELS[vowel], (70, 100, 150), strict=True):
            sound = sound + 3 * resonated(sound, hertz * throat.size * 2 ** rng.normal(0, 0.03), width)
        parts.append(sound / (np.abs(sound).max() + 1e-9))
    return np.concatenate(parts).astype(np.float32) * 0.5


def talk(turns, seed=1, noise=0.003):
    """(samples, words) of turns, each (throat, number of words, pause before it in seconds); a turn ends with a full stop."""
    rng = np.random.default_rng(seed)
    parts, words, now = [], [], 0
    for throat, count, pause in turns:
        parts.append(np.zeros(int(pause * RATE), np.float32))
        now += len(parts[-1])
        for number in range(count):
            sound = spoken(throat, rng)
            text = f"word{len(words)}" + ("." if number == count - 1 else "")
            words.append(Word(text, TimeSpan(now * 1000 // RATE, (now + len(sound)) * 1000 // RATE)))
            parts.append(sound)
            now += len(sound)
    samples = np.concatenate(parts)
    return (samples + noise * rng.standard_normal(len(samples))).astype(np.float32), words
