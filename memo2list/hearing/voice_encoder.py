"""A voiceprint of a stretch of speech: 256 numbers that are alike for one person and unlike for two.

A network of three LSTM layers and one linear layer over mel bands, trained on some thousands of people to tell them apart
(generalised end-to-end loss, Wan et al. 2018). The weights come with the package (voice_encoder.LICENSE.txt says from where);
they are run with numpy alone. The input it was trained on: 40 mel bands (Slaney's scale) of power, window 25 ms every 10 ms, of
sound at −30 dB below full scale, 1.6 s at a time.
"""

from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

import numpy as np

RATE, WINDOW, HOP, BANDS = 16_000, 400, 160, 40
LENGTH = 160  # frames that one voiceprint is made of
SIZE = 256
LAYERS = 3
LOUDNESS_DB = -30.0
AT_ONCE = 64  # stretches in one go: 42 MB
BLOCK = 4_000  # frames of bands worked on at a time


def bands_of(samples: np.ndarray, rows: np.ndarray | None = None) -> np.ndarray:
    """Power in 40 mel bands, float32 of shape (frames, BANDS); frame n is centred on sample n · HOP.

    `rows` are the numbers of the frames wanted, in any order and as often as wanted; None for all.
    """
    level = float(np.sqrt(np.mean(samples.astype(np.float64) ** 2)))
    louder = 10 ** (LOUDNESS_DB / 20) / max(level, 1e-6)
    padded = np.pad(samples.astype(np.float32) * np.float32(louder), WINDOW // 2)
    frames = np.lib.stride_tricks.sliding_window_view(padded, WINDOW)[::HOP]
    wanted = np.arange(len(frames)) if rows is None else rows
    window = (0.5 - 0.5 * np.cos(2 * np.pi * np.arange(WINDOW) / WINDOW)).astype(np.float32)
    parts = [np.abs(np.fft.rfft(frames[wanted[n : n + BLOCK]] * window)) ** 2 @ _mel_bank() for n in range(0, len(wanted), BLOCK)]
    return np.concatenate(parts).astype(np.float32)


def voiceprints(stretches: np.ndarray) -> np.ndarray:
    """One voiceprint of length 1 for each stretch: (n, LENGTH, BANDS) → float32 (n, SIZE)."""
    parts = [_run(stretches[n : n + AT_ONCE], _weights()) for n in range(0, len(stretches), AT_ONCE)]
    return np.concatenate(parts) if parts else np.zeros((0, SIZE), np.float32)


def _run(stretches: np.ndarray, weights: Mapping[str, np.ndarray]) -> np.ndarray:
    steps = np.ascontiguousarray(stretches.transpose(1, 0, 2), np.float32)
    for layer in range(LAYERS):
        steps = _lstm(steps, *(weights[f"lstm.{name}_l{layer}"] for name in ("weight_ih", "weight_hh", "bias_ih", "bias_hh")))
    print_ = np.maximum(steps[-1] @ weights["linear.weight"].T + weights["linear.bias"], 0)
    found: np.ndarray = print_ / (np.linalg.norm(print_, axis=1, keepdims=True) + 1e-9)
    return found


def _lstm(steps: np.ndarray, into: np.ndarray, again: np.ndarray, bias: np.ndarray, bias_again: np.ndarray) -> np.ndarray:
    """One layer over (time, stretch, input): Hochreiter and Schmidhuber 1997, with a forget gate."""
    gates = steps @ into.T + (bias + bias_again)
    size = again.shape[1]
    hidden = cell = np.zeros((steps.shape[1], size), np.float32)
    turned = np.ascontiguousarray(again.T)
    found = np.empty((len(steps), steps.shape[1], size), np.float32)
    for n, known in enumerate(gates):
        open_in, forget, new, out = np.split(known + hidden @ turned, 4, axis=1)
        cell = _sigmoid(forget) * cell + _sigmoid(open_in) * np.tanh(new)
        hidden = _sigmoid(out) * np.tanh(cell)
        found[n] = hidden
    return found


def _sigmoid(values: np.ndarray) -> np.ndarray:
    found: np.ndarray = 0.5 * (1 + np.tanh(0.5 * values))
    return found


@lru_cache(maxsize=1)
def _weights() -> dict[str, np.ndarray]:
    with np.load(Path(__file__).with_name("voice_encoder.npz")) as file:
        return {name: file[name].astype(np.float32) for name in file.files}


@lru_cache(maxsize=1)
def _mel_bank() -> np.ndarray:
    """Triangles of even area, 0–8 kHz, on Slaney's mel scale: linear to 1 kHz, then logarithmic; (WINDOW // 2 + 1, BANDS)."""
    mels = np.linspace(0, 15 + np.log(8.0) / (np.log(6.4) / 27), BANDS + 2)
    edges = np.where(mels < 15, mels * 200 / 3, 1000 * np.exp((mels - 15) * np.log(6.4) / 27))
    hertz = np.fft.rfftfreq(WINDOW, 1 / RATE)[:, None]
    rising, falling = (hertz - edges[:-2]) / np.diff(edges)[:-1], (edges[2:] - hertz) / np.diff(edges)[1:]
    return (np.maximum(0, np.minimum(rising, falling)) * 2 / (edges[2:] - edges[:-2])).astype(np.float32)
