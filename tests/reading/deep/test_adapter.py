"""The adapter: kept as int8 within its error bound, and the one that is shipped is whole."""

import json
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import array_shapes, arrays

from memo2list.known_weights import READER_BASE
from memo2list.reading.deep.adapter import NOTE, Adapter, quantise, save
from memo2list.reading.deep.loading import ADAPTER

VALUES = st.floats(-1e3, 1e3, width=32)
MATRICES = arrays(np.float32, array_shapes(min_dims=2, max_dims=2, max_side=9), elements=VALUES)
LARGEST = 20 * 10**6  # bytes a repository can carry


@given(MATRICES)
def test_a_value_moves_by_at_most_half_a_step(matrix):
    values, steps = quantise(matrix)
    assert np.all(np.abs(values * steps[:, None] - matrix) <= steps[:, None] * 0.501)
    assert np.allclose(steps, np.abs(matrix).max(axis=1) / 127, atol=1e-12)


@pytest.fixture
def pair():
    noise = np.random.default_rng(3)
    return {
        "blk.0.attn_q.A": noise.normal(size=(4, 12)).astype(np.float32),
        "blk.0.attn_q.B": noise.normal(size=(10, 4)).astype(np.float32),
        "blk.1.ffn_up.A": noise.normal(size=(4, 12)).astype(np.float32),
        "blk.1.ffn_up.B": noise.normal(size=(7, 4)).astype(np.float32),
    }


def test_what_is_saved_is_read_again_within_half_a_step(tmp_path, pair):
    save(tmp_path, pair, 2.0, {"rank": 4})
    adapter = Adapter(tmp_path)
    for name, matrix in pair.items():
        axis = 0 if name.endswith(".B") else 1  # one step for each of the rank's rows of A and columns of B
        step = np.abs(matrix).max(axis=axis, keepdims=True) / 127
        assert np.all(np.abs(adapter.matrix(name) - matrix) <= 0.501 * step)


def test_a_correction_is_scale_times_b_a(tmp_path, pair):
    save(tmp_path, pair, 2.0, {})
    a, b = pair["blk.0.attn_q.A"], pair["blk.0.attn_q.B"]
    off_a, off_b = (0.501 / 127 * np.abs(m).max(axis=axis, keepdims=True) for m, axis in ((a, 1), (b, 0)))
    bound = 2.0 * (np.abs(b) @ np.broadcast_to(off_a, a.shape) + np.broadcast_to(off_b, b.shape) @ (np.abs(a) + off_a))
    assert np.all(np.abs(Adapter(tmp_path).delta("blk.0.attn_q") - 2.0 * b @ a) <= bound + 1e-5)


def test_a_matrix_that_was_not_tuned_has_no_correction(tmp_path, pair):
    save(tmp_path, pair, 2.0, {})
    assert Adapter(tmp_path).delta("blk.0.ffn_down") is None


def test_the_note_is_kept_beside_the_matrices(tmp_path, pair):
    save(tmp_path, pair, 2.0, {"rank": 4, "pairs": 7})
    assert json.loads((tmp_path / NOTE).read_text()) == {"scale": 2.0, "rank": 4, "pairs": 7}


@pytest.fixture(scope="module")
def shipped():
    return Adapter(ADAPTER)


def test_the_shipped_adapter_is_small_enough_to_ship():
    assert 0 < sum(path.stat().st_size for path in ADAPTER.iterdir()) <= LARGEST


def test_the_shipped_adapter_belongs_to_the_base_that_is_fetched(shipped):
    assert shipped.note["base_sha256"] == READER_BASE.files[0].sha256


def test_the_shipped_adapter_has_the_rank_its_note_says(shipped):
    ranks = {shipped.matrix(name).shape[0 if name.endswith(".A") else 1] for name in names(shipped)}
    assert ranks == {shipped.note["rank"]}


def test_the_shipped_adapter_corrects_all_matrices_of_every_layer(shipped):
    found = {}
    for name in names(shipped):
        layer, part = re.fullmatch(r"blk\.(\d+)\.(\w+\.[AB])", name).groups()
        found.setdefault(int(layer), set()).add(part)
    linear = ("attn_q", "attn_k", "attn_v", "attn_output", "ffn_gate", "ffn_up", "ffn_down")
    assert sorted(found) == list(range(28))  # the base has 28 layers
    assert all(parts == {f"{m}.{half}" for m in linear for half in "AB"} for parts in found.values())


def test_the_shipped_adapter_holds_finite_numbers(shipped):
    assert all(np.isfinite(shipped.matrix(name)).all() for name in names(shipped))


def names(adapter):
    return [name for name in adapter._arrays if not name.endswith(".step")]
