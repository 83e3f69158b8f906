"""The Exif block of a HEIC, HEIF or AVIF picture, found without a decoder.

Such a file is a row of boxes: size, type, content (ISO/IEC 14496-12, Object Structured File Organization). Its `meta` box names
items (`iinf`, one `infe` each) and says where their bytes lie (`iloc`): in the file, or in the box `idat` beside it. The content
of the item of type `Exif` begins with four bytes, how far after them the TIFF header is (ISO/IEC 23008-12:2017, Annex A).
"""

from collections.abc import Iterator
from pathlib import Path

FILE_START = b"ftyp"
BRANDS = frozenset(b"mif1 msf1 heic heix heim heis hevc hevx hevm hevs avif avis".split())
MOST_READ = 64 << 20  # bytes; pictures of phones have a few million
MOST_EXIF = 4 << 20  # bytes; with a preview some 60,000 are usual
MOST_META = 8 << 20  # bytes; a picture in 60 tiles has some 5,000
MOST_BOXES = 10_000  # in a row
IN_FILE, IN_IDAT = 0, 1  # construction_method of `iloc`


def heif_exif(file: Path) -> bytes | None:
    """The block from its TIFF header on; None for a file of another kind, one without Exif, or a damaged one."""
    try:
        with file.open("rb") as opened:
            start = opened.read(8)
            data = start + opened.read(MOST_READ) if start[4:] == FILE_START else b""
    except OSError:
        return None
    return exif_in(data)


def is_heif(file: Path) -> bool:
    """Whether the file says that it is one, by its first brand."""
    with file.open("rb") as opened:
        start = opened.read(12)
    return start[4:8] == FILE_START and start[8:] in BRANDS


def exif_in(data: bytes) -> bytes | None:
    """The same for the bytes of a file."""
    try:
        meta = first(boxes(data), b"meta")[4:]  # after version and flags
        if len(meta) > MOST_META:
            return None
        held = item(meta, data, exif_item(first(boxes(meta), b"iinf")))
        skipped = Numbers(held).next(4)
    except ValueError:
        return None
    return held[4 + skipped :] or None


def boxes(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Type and content of each box in turn; the last may be cut short where the data is.

    Raises ValueError at one without a whole head, or where there are more than MOST_BOXES.
    """
    at = count = 0
    while at < len(data):
        count += 1
        if count > MOST_BOXES:
            raise ValueError("too many boxes")
        head = Numbers(data, at)
        size, kind = head.next(4), head.bytes(4)
        if size == 1:
            size = head.next(8)
        elif size == 0:  # to the end
            size = len(data) - at
        if head.at > at + size:
            raise ValueError("a box is smaller than its head")
        yield kind, data[head.at : at + size]
        at += size


def first(found: Iterator[tuple[bytes, bytes]], kind: bytes) -> bytes:
    for one, content in found:
        if one == kind:
            return content
    raise ValueError(f"there is no box {kind!r}")


def exif_item(iinf: bytes) -> int:
    """The number of the item of type `Exif`."""
    count_size = 4 if Numbers(iinf).next(4) >> 24 else 2
    for kind, entry in boxes(iinf[4 + count_size :]):
        infe = Numbers(entry)
        version = infe.next(4) >> 24
        if kind == b"infe" and version in (2, 3):  # earlier ones have no type of item
            item_id, _protection = infe.next(2 if version == 2 else 4), infe.next(2)
            if infe.bytes(4) == b"Exif":
                return item_id
    raise ValueError("there is no Exif")


def item(meta: bytes, data: bytes, wanted: int) -> bytes:
    """The bytes of an item, its extents joined. Raises ValueError where they do not lie in this file, or are too many."""
    method, extents = extents_of(Numbers(first(boxes(meta), b"iloc")), wanted)
    source = data if method == IN_FILE else first(boxes(meta), b"idat")
    found = bytearray()
    for at, length in extents:
        found += source[at : at + length] if length else source[at:]
        if len(found) > MOST_EXIF:
            raise ValueError("the item is too long")
    return bytes(found)


def extents_of(iloc: "Numbers", wanted: int) -> tuple[int, list[tuple[int, int]]]:
    """How the item is kept, IN_FILE or IN_IDAT, and its extents: first byte and length each, 0 for all there is."""
    version = iloc.next(4) >> 24
    wide = 4 if version == 2 else 2
    sizes = iloc.next(2)
    offset_size, length_size, base_size, index_size = (sizes >> shift & 15 for shift in (12, 8, 4, 0))
    index_size = index_size if version else 0
    for _ in range(iloc.next(wide)):
        item_id = iloc.next(wide)
        method = iloc.next(2) & 15 if version else IN_FILE
        elsewhere, base, count = iloc.next(2), iloc.next(base_size), iloc.next(2)
        if count > 1 and not offset_size + length_size + index_size:
            raise ValueError("extents without bytes")
        extents = [(iloc.next(index_size), base + iloc.next(offset_size), iloc.next(length_size)) for _ in range(count)]
        if item_id == wanted:
            if elsewhere or method not in (IN_FILE, IN_IDAT):
                raise ValueError("the item lies in another file or item")
            return method, [(at, length) for _, at, length in extents]
    raise ValueError("the item lies nowhere")


class Numbers:
    """Reads big-endian numbers one after the other; ValueError where the data ends too early."""

    def __init__(self, data: bytes, at: int = 0):
        self.data, self.at = data, at

    def bytes(self, size: int) -> bytes:
        found = self.data[self.at : self.at + size]
        if len(found) < size:
            raise ValueError("the data ends too early")
        self.at += size
        return found

    def next(self, size: int) -> int:
        return int.from_bytes(self.bytes(size))
