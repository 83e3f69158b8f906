"""When a picture was taken, and with which camera, as the camera wrote it (Exif 2.32, JEITA CP-3451E).

Read are, in the Exif IFD (0x8769): DateTimeOriginal (0x9003, "YYYY:MM:DD HH:MM:SS", local time of the camera), its fraction
SubSecTimeOriginal (0x9291) and its time zone OffsetTimeOriginal (0x9011, "+01:00"); where they are missing, those of the
digitisation (0x9004, 0x9292, 0x9012). Make (0x010F) and Model (0x0110) name the camera. DateTime (0x0132) is when the file was
changed last, and is not used. A time without a zone is taken for one of this machine's.
"""

import datetime
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from memo2list.store.heif_exif import heif_exif

if TYPE_CHECKING:
    from PIL import Image

EXIF_IFD, MAKE, MODEL = 0x8769, 0x010F, 0x0110
TIME_TAGS = ((0x9003, 0x9291, 0x9011), (0x9004, 0x9292, 0x9012))  # time, fraction of a second, zone
ZONE = re.compile(r"([+-])([01]\d|2[0-3]):([0-5]\d)")
UNKNOWN = "    :  :     :  :  "  # how the standard writes a time that is not known


@dataclass(frozen=True, slots=True)
class PictureTime:
    """`taken_ms` counts from 1970 in UTC, None where the file does not say; `zoned` where the camera gave its time zone."""

    taken_ms: int | None = None
    zoned: bool = False
    camera: str = ""


def picture_time(file: Path) -> PictureTime:
    """What the file says of itself; nothing for a file that cannot be read, for its time is all that is asked."""
    try:
        exif = exif_of(file)
        inner = exif.get_ifd(EXIF_IFD)
        named = [_text(exif, tag) for tag in (MAKE, MODEL)]
    except Exception:  # whatever a damaged file does to a decoder: it has no time
        return PictureTime()
    make, model = named
    camera = model if model.lower().startswith(make.lower()) else f"{make} {model}"
    for time_tag, fraction_tag, zone_tag in TIME_TAGS:
        taken = _time_ms(_text(inner, time_tag), _text(inner, fraction_tag), _text(inner, zone_tag))
        if taken is not None:
            return PictureTime(taken, bool(ZONE.fullmatch(_text(inner, zone_tag))), camera.strip()[:80])
    return PictureTime(camera=camera.strip()[:80])


def exif_of(file: Path) -> "Image.Exif":
    """What the camera wrote; HEIC needs no decoder for it. Raises whatever a damaged file does to a decoder."""
    from PIL import Image

    block = heif_exif(file)
    if block is not None:
        exif = Image.Exif()
        exif.load(b"Exif\0\0" + block)
        return exif
    with Image.open(file) as opened:
        return opened.getexif()


def _time_ms(time: str, fraction: str, zone: str) -> int | None:
    """
    >>> _time_ms("2025:03:01 09:30:00", "25", "+01:00"), _time_ms("    :  :     :  :  ", "", "")
    (1740817800250, None)
    """
    try:
        local = datetime.datetime.strptime(time, "%Y:%m:%d %H:%M:%S")
    except ValueError:
        return None
    found = ZONE.fullmatch(zone)
    if found:
        east = datetime.timedelta(hours=int(found[2]), minutes=int(found[3]))
        local = local.replace(tzinfo=datetime.timezone(east if found[1] == "+" else -east))
    milliseconds = round(float(f"0.{fraction}") * 1000) if fraction.isdecimal() else 0
    try:
        return round(local.timestamp()) * 1000 + milliseconds
    except (OverflowError, OSError, ValueError):
        return None


def _text(tags: Mapping[int, Any], tag: int) -> str:
    value = tags.get(tag, "")
    if isinstance(value, bytes):
        value = value.decode("ascii", "replace")
    return "".join(c for c in str(value) if c.isprintable()).strip()
