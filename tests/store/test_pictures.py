"""Pictures of items: kept as they came, once, and with their item when it is merged."""

import pytest

from memo2list.errors import StoreError, UnknownItemError
from tests.store.conftest import JOB


@pytest.fixture
def picture(tmp_path):
    path = tmp_path / "porch.JPG"
    path.write_bytes(b"a picture")
    return path


def test_a_picture_is_kept_byte_for_byte_and_once(store, picture):
    store.attach(JOB, "k1", picture)
    store.attach(JOB, "k1", picture)
    (kept,) = store.pictures(JOB)
    assert (kept.key, kept.name, kept.file.read_bytes()) == ("k1", "porch.JPG", b"a picture")


def test_a_merged_items_picture_goes_with_it_and_comes_back(store, picture):
    store.attach(JOB, "k1", picture)
    store.merge(JOB, "k2", ["k1"])
    store.merge(JOB, "k3", ["k2"])
    assert [p.key for p in store.pictures(JOB)] == ["k3"]
    store.undo(JOB)
    store.undo(JOB)
    assert [p.key for p in store.pictures(JOB)] == ["k1"]


def test_a_picture_needs_an_item_and_a_file(store, picture, tmp_path):
    with pytest.raises(UnknownItemError):
        store.attach(JOB, "k9", picture)
    with pytest.raises(StoreError, match=r"none\.jpg"):
        store.attach(JOB, "k1", tmp_path / "none.jpg")
