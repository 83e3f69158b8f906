"""Pictures for sheets: those sent in made small, without what their camera wrote in them; stills taken from a video.

HEIC is opened where the extra `heic` is installed: pi-heif, which decodes only (libheif and libde265, LGPL-3.0; the package that
also writes HEIC bundles x265, GPL-2.0, and is not used).

Exif may hold where a picture was taken (Exif 2.32, GPS IFD, tag 0x8825); everything is left out unless the place is
asked for, and then only the place is kept.
"""

import io
from functools import cache, lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from memo2list.errors import InputError
from memo2list.exports.exporter import Picture

if TYPE_CHECKING:
    from PIL.Image import Image

LONGEST_SIDE = 900  # pixels: 52 mm at some 440 dots an inch
QUALITY = 80
MOST_PIXELS = 120_000_000
GPS = 0x8825
ENDINGS = (".jpg", ".jpeg", ".png", ".webp", ".tif", ".tiff", ".bmp", ".gif")
HEIC_ENDINGS = (".heic", ".heif")
HEIC_REMEDY = "For HEIC, install memo2list with its extra: pip install 'memo2list[heic]'; its time is read without."


@lru_cache(maxsize=256)
def scaled(file: Path, name: str, keep_place: bool = False) -> Picture:
    """The picture upright and small. Raises InputError for a file that is none, or too large to open safely."""
    from PIL import Image, ImageOps, UnidentifiedImageError

    knows_heic()
    try:
        with Image.open(file) as opened:
            if opened.width * opened.height > MOST_PIXELS:
                raise InputError(name, "has too many pixels.", f"Make it smaller than {MOST_PIXELS // 1_000_000} megapixels.")
            place = _place_of(opened) if keep_place else b""
            opened.draft("RGB", (LONGEST_SIDE * 2, LONGEST_SIDE * 2))
            return _small(ImageOps.exif_transpose(opened), name, place)
    except (OSError, UnidentifiedImageError, ValueError, SyntaxError, Image.DecompressionBombError) as error:
        what = f"is no picture that can be opened ({type(error).__name__})."
        raise InputError(name, what, HEIC_REMEDY if _needs_heic(file) else f"Use one of: {', '.join(ENDINGS)}.") from None


@lru_cache(maxsize=256)
def still(video: Path, name: str, at_ms: int) -> Picture | None:
    """The frame shown at that time; None if the file has no pictures there."""
    import av

    try:
        with av.open(str(video)) as container:
            if not container.streams.video:
                return None
            stream = container.streams.video[0]
            container.seek(int(at_ms / 1000 / stream.time_base) if stream.time_base else 0, stream=stream)
            for frame in container.decode(stream):
                if frame.time is None or frame.time * 1000 >= at_ms - 40:
                    return _small(frame.to_image(), name, b"")
    except (av.FFmpegError, OSError, ValueError):
        return None
    return None


@cache
def knows_heic() -> bool:
    """Teaches Pillow HEIC; whether it could."""
    try:
        from pi_heif import register_heif_opener
    except ImportError:
        return False
    register_heif_opener(thumbnails=False, depth_images=False, aux_images=False)
    return True


def _needs_heic(file: Path) -> bool:
    return file.suffix.lower() in HEIC_ENDINGS and not knows_heic()


def _small(image: "Image", name: str, place: bytes) -> Picture:
    flat = image.convert("RGB")
    flat.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    out = io.BytesIO()
    flat.save(out, "JPEG", quality=QUALITY, optimize=True, **({"exif": place} if place else {}))
    return Picture(name, out.getvalue(), flat.width, flat.height)


def _place_of(image: "Image") -> bytes:
    from PIL import Image

    place = image.getexif().get_ifd(GPS)
    kept = Image.Exif()
    if place:
        kept[GPS] = place
    return kept.tobytes() if place else b""
