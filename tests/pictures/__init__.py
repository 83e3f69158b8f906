"""Pictures for tests, with what a camera writes in them (Exif 2.32)."""

import datetime
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from PIL import ExifTags, Image

BASE, IFD = ExifTags.Base, ExifTags.IFD
# 96 × 64, left half red, right half blue, taken 2025-03-01 at 09:30:00.250+01:00 with a "Lumo K2"; written by libheif 1.15
HEIC = Path(__file__).parent / "porch.heic"


def exif(outer: Mapping[int, Any] | None = None, inner: Mapping[int, Any] | None = None) -> Image.Exif:
    """Tags of the picture and, `inner`, of how it was taken."""
    made = Image.Exif()
    for tag, value in (outer or {}).items():
        made[tag] = value
    for tag, value in (inner or {}).items():
        made.get_ifd(IFD.Exif)[tag] = value
    return made


def picture_file(
    file: Path, taken: datetime.datetime | str | None = None, zone: str = "", camera: str = "", size: tuple[int, int] = (64, 48)
) -> Path:
    """A grey picture in that file, taken then by the camera's clock (None: it does not say)."""
    said = taken.strftime("%Y:%m:%d %H:%M:%S") if isinstance(taken, datetime.datetime) else taken
    inner = {BASE.DateTimeOriginal: said, BASE.OffsetTimeOriginal: zone}
    tags = exif({BASE.Model: camera} if camera else {}, {tag: value for tag, value in inner.items() if value})
    file.parent.mkdir(exist_ok=True)
    Image.new("RGB", size, "grey").save(file, exif=tags)
    return file
