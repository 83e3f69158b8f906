"""Base and adapter made one: a real conversion of a tiny base, whole or not at all, and a model that answers."""

import math
import os
import shutil
import subprocess
import sys
import time
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import array_shapes, arrays

from memo2list.reading.deep import convert
from memo2list.reading.deep.adapter import Adapter
from memo2list.reading.deep.model import Model, row_text
from tests.reading.deep import tiny_base

pytest.importorskip("gguf")


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """A tiny base and adapter, and the folder made of them."""
    home = tmp_path_factory.mktemp("reader")
    matrices = tiny_base.write_base(home / "base.gguf")
    corrections = tiny_base.write_adapter(home / "adapter")
    folder = convert.converted(home / "base.gguf", home / "adapter", home / "cache")
    return SimpleNamespace(home=home, folder=folder, matrices=matrices, corrections=corrections)


@pytest.fixture(scope="module")
def source(made):
    from gguf import GGUFReader

    return convert.Source(GGUFReader(str(made.home / "base.gguf")), Adapter(made.home / "adapter"))


@pytest.fixture(scope="module")
def model(made):
    return Model(made.folder, threads=1)


@given(arrays(np.float32, array_shapes(min_dims=2, max_dims=2, max_side=8), elements=st.floats(-1e3, 1e3, width=32)))
def test_int8_is_within_half_a_step_of_the_matrix(matrix):
    spec = SimpleNamespace()
    convert.put(spec, matrix)
    again = spec.weight / spec.weight_scale[:, None]
    assert np.all(np.abs(again - matrix) <= 0.501 / spec.weight_scale[:, None])


@pytest.mark.parametrize("part", tiny_base.SHAPES)
@pytest.mark.parametrize("layer", range(tiny_base.LAYERS))
def test_a_converted_matrix_is_base_plus_scale_times_b_a_within_the_int8_steps(made, source, layer, part):
    name = f"blk.{layer}.{part}"
    spec = SimpleNamespace()
    convert.put(spec, source.values(name + ".weight"))
    a, b = made.corrections[name + ".A"], made.corrections[name + ".B"]
    wanted = made.matrices[name + ".weight"] + 2.0 * b @ a
    off_a, off_b = np.abs(a).max(axis=1, keepdims=True) / 254, np.abs(b).max(axis=0, keepdims=True) / 254
    of_adapter = 1.01 * 2.0 * (np.abs(b) @ (off_a + 0 * a) + (off_b + 0 * b) @ (np.abs(a) + off_a))
    of_int8 = 0.501 / spec.weight_scale[:, None]
    assert np.all(np.abs(spec.weight / spec.weight_scale[:, None] - wanted) <= of_adapter + of_int8 + 1e-5)
    assert np.abs(wanted - made.matrices[name + ".weight"]).max() > 5 * of_int8.max()  # the correction is no rounding error


def test_the_folder_holds_all_that_running_needs(made):
    assert {"model.bin", "config.json", "tokenizer.json", "made_from.json"} <= {p.name for p in made.folder.iterdir()}


def test_a_folder_that_is_there_is_not_made_again(made):
    before = (made.folder / "model.bin").stat().st_mtime_ns
    assert convert.converted(made.home / "no such base", made.home / "adapter", made.home / "cache") == made.folder
    assert (made.folder / "model.bin").stat().st_mtime_ns == before


def test_a_broken_conversion_leaves_nothing_behind(made, tmp_path):
    (tmp_path / "broken.gguf").write_bytes((made.home / "base.gguf").read_bytes()[:2000])
    with pytest.raises(Exception):  # noqa: B017, PT011  the reader of GGUF files raises many kinds
        convert.converted(tmp_path / "broken.gguf", made.home / "adapter", tmp_path / "cache")
    assert list((tmp_path / "cache").iterdir()) == []


def test_a_conversion_that_stops_half_way_leaves_nothing_behind(made, tmp_path, monkeypatch):
    def stop(source):
        raise KeyboardInterrupt

    monkeypatch.setattr(convert, "tokenizer", stop)  # the model is written by then
    with pytest.raises(KeyboardInterrupt):
        convert.converted(made.home / "base.gguf", made.home / "adapter", tmp_path / "cache")
    assert list((tmp_path / "cache").iterdir()) == []


def test_what_a_killed_conversion_left_is_removed_after_a_day(made, tmp_path):
    for name, age in ((".reader-old", 2 * 86_400), (".reader-new", 60)):
        (tmp_path / name).mkdir()
        os.utime(tmp_path / name, (time.time() - age,) * 2)
    convert.sweep(tmp_path)
    assert [p.name for p in tmp_path.iterdir()] == [".reader-new"]


def test_two_conversions_at_once_both_end_with_the_folder(made, tmp_path, monkeypatch):
    real = convert.convert

    def overtaken(base, adapter, out):
        real(base, adapter, out)
        if not any(tmp_path.glob("reader-*")):
            shutil.copytree(out, tmp_path / made.folder.name)  # what another process does meanwhile

    monkeypatch.setattr(convert, "convert", overtaken)
    folder = convert.converted(made.home / "base.gguf", made.home / "adapter", tmp_path)
    assert [p.name for p in tmp_path.iterdir()] == [folder.name]


def test_another_adapter_asks_for_another_folder(made, tmp_path):
    shutil.copytree(made.home / "adapter", tmp_path / "adapter")
    assert convert.adapter_digest(tmp_path / "adapter") == convert.adapter_digest(made.home / "adapter")
    tiny_base.write_adapter(tmp_path / "adapter", size=0.3)
    assert convert.adapter_digest(tmp_path / "adapter") != convert.adapter_digest(made.home / "adapter")


def test_the_tokenizer_gives_every_text_back(model):
    for text in ("3-5,9!|tread|split", "six feet — ½ in, naïve\n", "a the t"):
        assert model._tokenizer.decode(model._tokenizer.encode(text).ids) == text


def test_a_prompt_is_framed_as_the_base_was_taught(model):
    tokens = model.tokens("list")
    assert tokens[0] == "<|im_start|>"
    assert tokens.count("<|im_start|>") == 2
    assert tokens.count("<|im_end|>") == 1


def test_the_model_answers_each_prompt_with_rows_it_is_more_or_less_sure_of(model, monkeypatch):
    monkeypatch.setattr("memo2list.reading.deep.model.LONGEST_ANSWER", 12)
    answers = model.answer(["1 A: it leaks", "1 B: the gate sags, and the latch is bent", "x"])
    assert len(answers) == 3
    assert any(answers)
    for row in (row for rows in answers for row in rows):
        assert 0 < row.least <= row.mean * 1.000001 <= 1.000001


def test_answers_do_not_depend_on_what_is_answered_beside_them(model, monkeypatch):
    monkeypatch.setattr("memo2list.reading.deep.model.LONGEST_ANSWER", 8)
    prompts = ["1 A: it leaks", "1 B: the gate sags, and the latch is bent"]
    assert [r.text for r in model.answer(prompts)[1]] == [r.text for r in model.answer(prompts[1:])[0]]


def test_an_adapter_changes_what_the_model_says(made, model, tmp_path, monkeypatch):
    monkeypatch.setattr("memo2list.reading.deep.model.LONGEST_ANSWER", 8)
    tiny_base.write_adapter(tmp_path / "adapter", size=1e-6)
    plain = Model(convert.converted(made.home / "base.gguf", tmp_path / "adapter", tmp_path), threads=1)
    assert plain.answer(["1 A: it leaks"]) != model.answer(["1 A: it leaks"])


def test_how_sure_a_row_is_comes_from_its_tokens():
    row = row_text(" 1|gate|sags\n", [math.log(0.9), math.log(0.4)])
    assert (row.text, row.mean, row.least) == ("1|gate|sags", pytest.approx(0.6), pytest.approx(0.4))


def test_a_process_that_holds_the_model_ends_well(made):
    """The model's threads once outlived the interpreter, and two runs of three ended in an abort."""
    program = (
        "import sys, pathlib; from memo2list.reading.deep import loading, model; model.LONGEST_ANSWER = 4; "
        "held = loading.load(pathlib.Path(sys.argv[1])); held.answer(['1 A: it leaks'])"
    )
    ended = [subprocess.run([sys.executable, "-c", program, made.folder], capture_output=True).returncode for _ in range(4)]
    assert ended == [0, 0, 0, 0]


def test_what_the_kept_vocabulary_lacks_is_spelt_with_shorter_tokens(made, source, monkeypatch):
    whole = convert.tokenizer(source)
    monkeypatch.setattr(convert, "KEPT", 256)
    cut = convert.tokenizer(source)
    assert len(whole.encode("a tap").tokens) == 4  # " t" is one token
    assert len(cut.encode("a tap").tokens) == 5
    assert cut.decode(cut.encode("a tap").ids) == "a tap"
    assert source.tokens()[256:] == list(convert.CONTROL_TOKENS)
    assert [tiny_base.vocabulary()[n] for n in source.kept()] == source.tokens()
