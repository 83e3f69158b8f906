"""Exif in the boxes of a HEIF file: those libheif and libavif write, and any layout the standard allows (ISO/IEC 14496-12)."""

import itertools
import struct

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from memo2list.store.heif_exif import MOST_BOXES, MOST_EXIF, MOST_META, exif_in, heif_exif
from memo2list.store.picture_times import picture_time
from tests.pictures import BASE, HEIC, exif, picture_file

WHOLE = HEIC.read_bytes()


def test_the_time_and_camera_of_a_file_that_libheif_wrote():
    found = picture_time(HEIC)
    assert (found.taken_ms, found.zoned, found.camera) == (1_740_817_800_250, True, "Lumo K2")


def test_the_block_of_a_file_that_libavif_wrote_is_the_one_it_was_given(tmp_path):
    given_to = exif({BASE.Make: "Lumo"}, {BASE.DateTimeOriginal: "2025:03:01 09:30:00"})
    Image.effect_noise((64, 48), 40).convert("RGB").save(tmp_path / "porch.avif", exif=given_to)
    assert heif_exif(tmp_path / "porch.avif") == given_to.tobytes().removeprefix(b"Exif\0\0")


def test_other_files_have_none(tmp_path):
    assert heif_exif(picture_file(tmp_path / "porch.jpg", "2025:03:01 09:30:00")) is None
    Image.effect_noise((64, 48), 40).convert("RGB").save(tmp_path / "bare.avif")
    assert heif_exif(tmp_path / "bare.avif") is None
    assert heif_exif(tmp_path / "missing.heic") is None


def box(kind, content):
    return struct.pack(">I4s", 8 + len(content), kind) + content


def built(block, cuts, version, sizes, in_idat, skipped, brand=b"heic"):
    """A file with a picture item and the block as item 2, cut into extents, with numbers of the widths given."""
    offset_size, length_size, base_size, index_size = sizes
    wide = version == 2
    held = struct.pack(">I", skipped) + b"x" * skipped + block
    edges = sorted({0, len(held), *(c for c in cuts if c < len(held))})
    extents = [(a, b - a) for a, b in itertools.pairwise(edges)]

    def iloc(start):
        base = start if base_size else 0
        out = struct.pack(
            ">BxxxH", version, offset_size << 12 | length_size << 8 | base_size << 4 | (index_size if version else 0)
        )
        out += (2).to_bytes(4 if wide else 2)
        for number in (1, 2):
            out += number.to_bytes(4 if wide else 2)
            out += struct.pack(">H", int(in_idat)) if version else b""
            out += struct.pack(">H", 0) + base.to_bytes(base_size) + struct.pack(">H", len(extents))
            for at, length in extents:
                out += (0).to_bytes(index_size) if version else b""
                out += (start - base + at).to_bytes(offset_size) + length.to_bytes(length_size)
        return box(b"iloc", out)

    def infe(number, kind):
        one = number.to_bytes(4 if wide else 2) + struct.pack(">H", 0) + kind + b"\0"
        return box(b"infe", bytes([3 if wide else 2, 0, 0, 0]) + one)

    iinf = box(b"iinf", bytes([int(wide), 0, 0, 0]) + (2).to_bytes(4 if wide else 2) + infe(1, b"hvc1") + infe(2, b"Exif"))

    def file(start):
        meta = (
            bytes(4) + box(b"hdlr", bytes(24)) + iinf + iloc(0 if in_idat else start) + (box(b"idat", held) if in_idat else b"")
        )
        return box(b"ftyp", brand + bytes(4) + b"mif1") + box(b"meta", meta) + struct.pack(">I4s", 0, b"mdat")

    start = len(file(0))
    return file(start) + (b"" if in_idat else held)


@given(
    block=st.binary(min_size=1, max_size=200),
    cuts=st.lists(st.integers(0, 200), max_size=4),
    version=st.sampled_from([0, 1, 2]),
    sizes=st.tuples(*[st.sampled_from(s) for s in ((4, 8), (4, 8), (0, 4, 8), (0, 4, 8))]),
    in_idat=st.booleans(),
    skipped=st.integers(0, 9),
)
def test_the_block_is_found_in_any_layout(block, cuts, version, sizes, in_idat, skipped):
    in_idat = in_idat and version > 0  # version 0 knows the file only
    assert exif_in(built(block, cuts, version, sizes, in_idat, skipped)) == block


@given(
    st.lists(st.tuples(st.integers(0, len(WHOLE) - 1), st.integers(0, 255)), min_size=1, max_size=8), st.integers(0, len(WHOLE))
)
def test_a_damaged_file_has_a_block_or_none_and_stops_nothing(changes, length):
    damaged = bytearray(WHOLE)
    for at, value in changes:
        damaged[at] = value
    found = exif_in(bytes(damaged[:length]))
    assert found is None or 0 < len(found) <= MOST_EXIF + length


@given(st.binary(max_size=300))
def test_anything_after_the_start_of_a_file_stops_nothing(rest):
    assert (exif_in(box(b"ftyp", b"heic") + rest) or b"") in rest


def test_extents_without_bytes_take_no_time():
    """65,535 extents of nothing for each of thousands of items: refused, not counted through."""
    iloc = struct.pack(">BxxxHH", 0, 0, 65_535) + struct.pack(">HHH", 9, 0, 65_535) * 60_000
    iinf = bytes(4) + (1).to_bytes(2) + box(b"infe", bytes([2, 0, 0, 0, 0, 2, 0, 0]) + b"Exif")
    assert exif_in(box(b"ftyp", b"heic") + box(b"meta", bytes(4) + box(b"iinf", iinf) + box(b"iloc", iloc))) is None


def test_a_block_made_of_ever_the_same_bytes_is_refused():
    """Each of 60,000 extents is the whole file: what is joined stays small."""
    iloc = struct.pack(">BxxxHH", 0, 0x4400, 1) + struct.pack(">HHH", 2, 0, 60_000) + struct.pack(">II", 0, 0) * 60_000
    iinf = bytes(4) + (1).to_bytes(2) + box(b"infe", bytes([2, 0, 0, 0, 0, 2, 0, 0]) + b"Exif")
    assert exif_in(box(b"ftyp", b"heic") + box(b"meta", bytes(4) + box(b"iinf", iinf) + box(b"iloc", iloc))) is None


def test_a_row_of_very_many_boxes_or_a_huge_box_of_notes_is_not_gone_through():
    plain = built(b"II*\0block", [], 1, (4, 4, 0, 0), True, 0)
    assert exif_in(plain) == b"II*\0block"
    assert exif_in(plain[:20] + box(b"free", b"") * 100 + plain[20:]) == b"II*\0block"
    assert exif_in(plain[:20] + box(b"free", b"") * MOST_BOXES + plain[20:]) is None
    start = plain.index(b"meta") - 4
    size = int.from_bytes(plain[start : start + 4])
    meta = plain[start + 8 : start + size]
    assert exif_in(plain[:start] + box(b"meta", meta + box(b"free", bytes(99))) + plain[start + size :]) == b"II*\0block"
    assert exif_in(plain[:start] + box(b"meta", meta + box(b"free", bytes(MOST_META))) + plain[start + size :]) is None


@pytest.mark.parametrize("broken", [b"", b"\0\0\0\x18ftypheic", WHOLE[:100]])
def test_a_file_that_ends_too_early_has_no_time(tmp_path, broken):
    (tmp_path / "porch.heic").write_bytes(broken)
    assert picture_time(tmp_path / "porch.heic").taken_ms is None
