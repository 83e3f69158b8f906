"""Uploads in chunks: resumed where they broke off, checked at the end."""

import errno
import hashlib
import os
import random
from concurrent.futures import ThreadPoolExecutor

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memo2list.errors import InputError
from memo2list.hearing.capture import receive_chunk, received_bytes


def sha(data):
    return hashlib.sha256(data).hexdigest()


@given(data=st.binary(min_size=1, max_size=400), cuts=st.lists(st.integers(0, 400), max_size=6), back=st.integers(0, 50))
def test_any_chunks_resumed_at_any_earlier_byte_make_the_file(tmp_path_factory, data, cuts, back):
    folder = tmp_path_factory.mktemp("up")
    for cut in sorted(c for c in cuts if c <= len(data)):
        start = max(0, received_bytes(folder, "walk") - back)
        receive_chunk(folder, "walk", start, data[start:cut])
    start = received_bytes(folder, "walk")
    done = receive_chunk(folder, "walk", start, data[start:], sha(data))
    assert done.file is not None
    assert done.file.read_bytes() == data
    assert [p.name for p in folder.iterdir()] == ["walk"]


def test_a_chunk_that_leaves_a_gap_is_refused_and_told_where_to_go_on(tmp_path):
    receive_chunk(tmp_path, "walk", 0, b"abc")
    with pytest.raises(InputError, match="from byte 3"):
        receive_chunk(tmp_path, "walk", 5, b"x")
    assert received_bytes(tmp_path, "walk") == 3


def test_a_wrong_hash_throws_the_upload_away(tmp_path):
    with pytest.raises(InputError, match="did not arrive"):
        receive_chunk(tmp_path, "walk", 0, b"abc", sha(b"abd"))
    assert received_bytes(tmp_path, "walk") == 0
    assert not list(tmp_path.iterdir())


def test_the_last_chunk_sent_again_changes_nothing(tmp_path):
    receive_chunk(tmp_path, "walk", 0, b"abc", sha(b"abc"))
    again = receive_chunk(tmp_path, "walk", 0, b"xyz", sha(b"abc"))
    assert again.file is not None
    assert again.file.read_bytes() == b"abc"


@pytest.mark.parametrize("name", ["", "../walk", "a/b", ".hidden", "a\\b", "x" * 101, "walk.part", "ä"])
def test_a_name_that_could_lead_elsewhere_is_refused(tmp_path, name):
    with pytest.raises(InputError, match="no name for an upload"):
        receive_chunk(tmp_path, name, 0, b"abc")
    assert not list(tmp_path.iterdir())


def sent_by_eight(folder):
    data, piece = random.Random(3).randbytes(200_000), 7_000

    def send(_):
        while True:
            start = received_bytes(folder, "walk")
            last = start + piece >= len(data)
            try:
                done = receive_chunk(folder, "walk", start, data[start : start + piece], sha(data) if last else None)
            except InputError:  # another sender was faster: ask again
                continue
            if done.file:
                return done.file.read_bytes()

    with ThreadPoolExecutor(8) as pool:
        return list(pool.map(send, range(8))) == [data] * 8


def test_several_senders_of_the_same_file_take_turns(tmp_path):
    """Each goes on where the file stands; none sees a half-made one, and what arrives is whole."""
    assert sent_by_eight(tmp_path)


@pytest.mark.skipif(os.name != "posix", reason="only POSIX has flock")
def test_a_folder_that_cannot_be_locked_is_used_all_the_same_and_warned_of_once(tmp_path, monkeypatch, caplog):
    """As on a network drive: flock says ENOLCK, and the senders of this program still take turns."""
    import fcntl

    def refused(*_):
        raise OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))

    monkeypatch.setattr(fcntl, "flock", refused)
    assert sent_by_eight(tmp_path)
    assert [r.getMessage() for r in caplog.records] == [
        f"{tmp_path} cannot be locked ({os.strerror(errno.ENOLCK)}): do not send one file to two programs at once."
    ]
