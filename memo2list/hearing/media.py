"""Sound and pictures out of a media file, through PyAV (the libraries of FFmpeg)."""

import io
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from memo2list.errors import InputError
from memo2list.timing import from_seconds

if TYPE_CHECKING:
    import numpy as np

RATE = 16_000  # samples a second, mono: what the speech model was trained on
BLOCK_SECONDS = 30
LEAST_GAP_S, MOST_GAP_S = 1.0, 4 * 3600.0  # less is jitter of time stamps, more is a damaged one
CONVERT = "Convert it to wav, flac, mp3, m4a, opus, mp4 or mov and try again."


@dataclass(frozen=True, slots=True)
class Media:
    """What a media file holds."""

    kind: Literal["sound", "video"]
    container: str  # FFmpeg's name, "mov,mp4,m4a,..."
    duration_ms: int | None  # as the container claims; None where it does not say
    sound_codec: str
    has_picture: bool


def probe(path: Path) -> Media:
    """What the file holds, without decoding it. InputError if it is no media file or has no sound."""
    with _opened(path) as container:
        if not container.streams.audio:
            raise InputError(
                path.name, "has pictures but no sound.", "Record again with the microphone on, or give the sound file."
            )
        stream = container.streams.audio[0]
        pictures = [s for s in container.streams.video if not (s.disposition & _cover_art())]
        return Media(
            kind="video" if pictures else "sound",
            container=container.format.name,
            duration_ms=_claimed_ms(container, stream),
            sound_codec=stream.codec_context.name,
            has_picture=bool(pictures),
        )


def sound(path: Path, block_seconds: float = BLOCK_SECONDS) -> Iterator["np.ndarray"]:
    """The sound as blocks of float32 samples in −1..1, mono at `RATE`. A damaged tail ends the sound early without an error.

    Where the container says that nothing was recorded for a while, there is silence for as long, as in a player.
    """
    import numpy as np

    size, held, count = int(block_seconds * RATE), list["np.ndarray"](), 0
    with _opened(path) as container:
        if not container.streams.audio:
            raise InputError(path.name, "has no sound.", "Give a file with a sound track.")
        for piece in _pieces(container):
            held.append(piece)
            count += piece.size
            if count >= size:
                yield np.concatenate(held)
                held, count = [], 0
    if held:
        yield np.concatenate(held)


def still(path: Path, at_ms: int, width: int = 960) -> bytes | None:
    """The picture shown at `at_ms` (the nearest one before it, or the first) as JPEG bytes; None if there are no pictures."""
    with _opened(path) as container:
        stream = next((s for s in container.streams.video if not (s.disposition & _cover_art())), None)
        if stream is None:
            return None
        frame = _frame_at(container, stream, at_ms)
    if frame is None:
        return None
    picture = frame.to_image()
    if picture.width > width:
        picture = picture.resize((width, max(1, picture.height * width // picture.width)))
    target = io.BytesIO()
    picture.convert("RGB").save(target, "JPEG", quality=82)
    return target.getvalue()


def _frame_at(container: Any, stream: Any, at_ms: int) -> Any:
    import av

    start = stream.start_time or 0
    container.seek(start + int(at_ms / 1000 / stream.time_base), stream=stream, backward=True)
    best = None
    try:
        for frame in container.decode(stream):
            if best is not None and frame.pts is not None and (frame.pts - start) * stream.time_base * 1000 > at_ms:
                break
            best = frame
    except av.error.FFmpegError:
        pass
    return best


def _pieces(container: Any) -> Iterator["np.ndarray"]:
    """Frames at `RATE`, with silence between two of them that do not follow each other."""
    import av
    import numpy as np

    resampler = av.AudioResampler(format="flt", layout="mono", rate=RATE)
    ended: float | None = None
    for frame in _frames(container):
        began = float(frame.time) if frame.time is not None else None
        gap = began - ended if began is not None and ended is not None else 0.0
        for left in range(round(gap * RATE), 0, -RATE) if LEAST_GAP_S <= gap <= MOST_GAP_S else ():
            yield np.zeros(min(left, RATE), np.float32)
        ended = began + frame.samples / frame.sample_rate if began is not None else None
        yield from (piece.to_ndarray().reshape(-1) for piece in resampler.resample(frame))
    yield from (piece.to_ndarray().reshape(-1) for piece in resampler.resample(None))


def _frames(container: Any) -> Iterator[Any]:
    """Decoded sound frames; what is damaged is skipped, as players do."""
    import av

    stream = container.streams.audio[0]
    demuxer = container.demux(stream)
    while True:
        try:
            packet = next(demuxer)
        except StopIteration:
            return
        except av.error.FFmpegError:
            return
        try:
            yield from packet.decode()
        except av.error.FFmpegError:
            continue


def _opened(path: Path) -> Any:
    import av

    if not path.exists():
        raise InputError(path, "is not there.", "Check the name and the folder.")
    if path.is_dir():
        raise InputError(path, "is a folder.", "Name the files in it.")
    if path.stat().st_size == 0:
        raise InputError(path.name, "is empty (0 bytes).", "Copy it again from the recorder.")
    av.logging.set_level(av.logging.PANIC)
    try:
        return av.open(str(path), metadata_errors="ignore")
    except av.error.FFmpegError as error:
        reason = (getattr(error, "strerror", "") or str(error)).lower()
        raise InputError(path.name, f"is not a sound or video file that can be read ({reason}).", CONVERT) from None
    except OSError as error:
        raise InputError(path, f"cannot be opened ({error.strerror}).", "Check that you may read it.") from None


def _claimed_ms(container: Any, stream: Any) -> int | None:
    if container.duration:
        return from_seconds(container.duration / 1_000_000)
    return from_seconds(float(stream.duration * stream.time_base)) if stream.duration else None


def _cover_art() -> Any:
    from av.stream import Disposition

    return Disposition.attached_pic
