"""The network that makes voiceprints, on what is known about it."""

import numpy as np

from memo2list.hearing import voice_encoder as encoder
from tests.hearing.make_voices import Throat, talk


def prints(throat, seed):
    samples, _ = talk([(throat, 40, 0.0)], seed)
    bands = encoder.bands_of(samples)
    many = len(bands) // encoder.LENGTH
    return encoder.voiceprints(bands[: many * encoder.LENGTH].reshape(many, encoder.LENGTH, encoder.BANDS))


def test_voiceprints_have_length_one_and_no_negative_part():
    found = prints(Throat(110), 1)
    assert found.shape == (7, encoder.SIZE)
    assert np.allclose(np.linalg.norm(found, axis=1), 1, atol=1e-5)
    assert (found >= 0).all()


def test_one_voice_is_more_alike_than_two():
    deep, again, high = (
        p.mean(axis=0) for p in (prints(Throat(105), 1), prints(Throat(105), 2), prints(Throat(190, 1.17, 0.8), 3))
    )
    assert deep @ again > deep @ high + 0.05


def test_how_loud_a_recording_is_changes_nothing():
    samples, _ = talk([(Throat(120), 20, 0.0)])
    assert np.allclose(encoder.bands_of(samples), encoder.bands_of(samples * 0.1), rtol=1e-3, atol=1e-6)


def test_the_layer_is_the_lstm_of_the_books():
    """By hand: with all weights 0 and the gates held by their biases the cell halves and takes in 1 each step."""
    size = 2
    bias = np.array([9, 9, 0, 0, 9, 9, 0, 0], np.float32)  # in wide open, forget and out half, new at 1
    steps = np.zeros((2, 1, 3), np.float32)
    found = encoder._lstm(steps, np.zeros((8, 3), np.float32), np.zeros((8, size), np.float32), bias, 0 * bias)
    first = 1.0
    second = 0.5 * first + 1.0
    assert np.allclose(found[:, 0, 0], [0.5 * np.tanh(first), 0.5 * np.tanh(second)], atol=1e-3)
