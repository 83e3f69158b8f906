"""Files are whole or not there; names and cells do no harm."""

import os

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memo2list.errors import InputError
from memo2list.exports.safety import LONGEST_NAME, RESERVED, safe_cell, safe_name, write_whole


@given(st.text())
def test_no_cell_begins_like_a_formula(text):
    assert not safe_cell(text).startswith(("=", "+", "-", "@", "\t", "\r", "\n", "\0"))


@given(st.text(st.characters(exclude_characters="\0"), min_size=1))
def test_a_cell_can_still_be_read(text):
    assert safe_cell(text).endswith(text)


@given(st.text())
def test_a_file_name_is_fit_for_every_platform(text):
    name = safe_name(text)
    assert name
    assert len(name) <= LONGEST_NAME + 10
    assert not set(name) & set('<>:"/\\|?*\0')
    assert not name.endswith((".", " "))
    assert not RESERVED.fullmatch(name)


def test_an_existing_file_is_kept_unless_forced(tmp_path):
    path = tmp_path / "a.csv"
    write_whole(path, b"one")
    with pytest.raises(InputError, match="--force"):
        write_whole(path, b"two")
    assert path.read_bytes() == b"one"
    write_whole(path, b"two", force=True)
    assert path.read_bytes() == b"two"


def test_a_write_that_fails_leaves_the_old_file_and_no_rest(tmp_path, monkeypatch):
    path = tmp_path / "a.csv"
    path.write_bytes(b"old")

    def fail(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", fail)
    with pytest.raises(InputError, match="No space"):
        write_whole(path, b"new", force=True)
    assert path.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [path]


def test_a_folder_is_no_file(tmp_path):
    with pytest.raises(InputError, match="folder"):
        write_whole(tmp_path, b"", force=True)
