"""Sound, pictures, captions and the level strip of a recording. A request names a recording by its hash, never by a path."""

import functools
import html
import math
import tempfile
from collections.abc import Sequence
from pathlib import Path

from memo2list.errors import InputError
from memo2list.records import Transcript, WordRange
from memo2list.review_page.desk import Desk
from memo2list.store.recordings import KeptRecording
from memo2list.timing import clock

TYPES = {
    ".opus": "audio/ogg", ".ogg": "audio/ogg", ".oga": "audio/ogg", ".wav": "audio/wav", ".mp3": "audio/mpeg",
    ".m4a": "audio/mp4", ".aac": "audio/aac", ".flac": "audio/flac", ".weba": "audio/webm", ".webm": "video/webm",
    ".mp4": "video/mp4",
    ".m4v": "video/mp4", ".mov": "video/quicktime", ".mkv": "video/x-matroska", ".3gp": "video/3gpp", ".amr": "audio/amr",
}  # fmt: skip
TILE_LETTERS = 24
BARS = 600  # levels drawn over a whole recording
CAPTION_WORDS, CAPTION_MS = 12, 6000


def media_type(file: Path) -> str:
    """What a browser is told a recording is; what it does not know it is not told."""
    return TYPES.get(file.suffix.lower(), "application/octet-stream")


@functools.lru_cache(maxsize=32)
def levels(file: Path) -> tuple[float, ...]:
    """How loud each of BARS equal stretches is, 0..1, empty where there is no sound to be read."""
    import numpy as np

    from memo2list.hearing.media import RATE, sound

    step = RATE // 20  # 50 ms
    peaks: list[float] = []
    try:
        for block in sound(file):
            whole = block[: len(block) // step * step].reshape(-1, step)
            peaks += np.sqrt((whole**2).mean(axis=1)).tolist()
    except InputError:
        return ()
    if not peaks:
        return ()
    top = float(np.percentile(peaks, 99)) or 1.0
    parts = np.array_split(np.array(peaks), min(BARS, len(peaks)))
    return tuple(round(min(1.0, math.sqrt(float(p.max()) / top)), 3) for p in parts)


def level_svg(heights: Sequence[float]) -> str:
    """The levels as one closed shape, mirrored about the middle, in a box of BARS × 100."""
    if not heights:
        return '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 600 100"/>'
    width = BARS / len(heights)
    up = " ".join(f"{n * width:.1f},{50 - 48 * h:.1f}" for n, h in enumerate(heights))
    down = " ".join(f"{n * width:.1f},{50 + 48 * h:.1f}" for n, h in reversed(list(enumerate(heights))))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {BARS} 100" preserveAspectRatio="none">'
        f'<polygon points="{up} {down}" fill="#8a949b"/></svg>'
    )


def tile_svg(name: str) -> str:
    """Stands for a picture that cannot be shown: its name, in a box of 4 × 3."""
    shown = name if len(name) <= TILE_LETTERS else f"{name[: TILE_LETTERS - 1]}…"
    lines = [(shown, 28), ("is kept; it cannot be shown here", 22)]
    texts = "".join(
        f'<text x="200" y="{140 + 40 * n}" font-size="{size}" text-anchor="middle" fill="#2b3a42">{html.escape(text)}</text>'
        for n, (text, size) in enumerate(lines)
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 300" width="400" height="300" font-family="sans-serif">'
        f'<rect width="400" height="300" fill="#e3e7e9"/>{texts}</svg>'
    )


def captions(transcript: Transcript) -> str:
    """The transcript as WebVTT: cues of a few words, never over a change of speaker."""
    out = ["WEBVTT", ""]
    for turn in transcript.turns:
        for words in caption_ranges(transcript, turn.words):
            span = transcript.time(words)
            text = transcript.quote(words).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
            voice = f"<v {_voice(turn.speaker)}>" if turn.speaker else ""
            end = max(span.end_ms, span.start_ms + 1)
            out += [f"{_vtt(span.start_ms)} --> {_vtt(end)}", voice + text, ""]
    return "\n".join(out)


def caption_ranges(transcript: Transcript, words: WordRange) -> list[WordRange]:
    ranges, first = [], words.first
    for number in words:
        long = transcript.words[number].span.end_ms - transcript.words[first].span.start_ms > CAPTION_MS
        ends = transcript.words[number].text.endswith((".", "?", "!"))
        if number + 1 - first >= CAPTION_WORDS or long or ends:
            ranges.append(WordRange(first, number + 1))
            first = number + 1
    return ranges + ([WordRange(first, words.stop)] if first < words.stop else [])


@functools.lru_cache(maxsize=128)
def frame_at(file: Path, at_ms: int) -> bytes | None:
    """The picture of a video at that time, None if it has none or cannot be read."""
    from memo2list.hearing.media import still

    try:
        return still(file, at_ms, 640)
    except InputError:
        return None


def keep_frame(desk: Desk, key: str, sha256: str, at_ms: int) -> None:
    kept = video_of(desk, sha256)
    from memo2list.hearing.media import still

    picture = still(kept.file, min(at_ms, kept.recording.duration_ms), 1600)
    if picture is None:
        raise InputError(kept.recording.name, "has no pictures.", "Send one in instead.")
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / f"{clock(at_ms).replace(':', '-')}.jpg"
        file.write_bytes(picture)
        desk.store.attach(desk.job, key, file)


def video_of(desk: Desk, sha256: str) -> KeptRecording:
    kept = desk.kept(sha256)
    if kept is None:
        raise InputError("that recording", "is not in this job.", "Load the page again.")
    return kept


def _vtt(ms: int) -> str:
    return f"{ms // 3_600_000:02d}:{ms // 60_000 % 60:02d}:{ms // 1000 % 60:02d}.{ms % 1000:03d}"


def _voice(name: str) -> str:
    return "".join(c for c in name if c.isalnum() or c in " .-")[:40]
