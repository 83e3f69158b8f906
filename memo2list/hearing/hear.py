"""One file in, one transcript out: chooses by content whether to listen or to read."""

import hashlib
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from memo2list.errors import InputError
from memo2list.hearing import media
from memo2list.hearing.recogniser import Heard, Recogniser, Stretch
from memo2list.hearing.transcripts import read_transcript, text_kind, turns_of
from memo2list.records import Flag, Recording, StretchFlag, Transcript, Word, WordRange
from memo2list.vocabulary.entries import Matcher
from memo2list.weights import find_speech_weights

if TYPE_CHECKING:
    import numpy as np

CHUNK_S = 600  # heard in one go and kept in memory: 38 MB of samples
TEXT_LIMIT = 64 << 20  # a transcript larger than this is not read


@dataclass(frozen=True, slots=True)
class Progress:
    """How far hearing has come. `total_ms` and `left_s` are None while they cannot be told."""

    done_ms: int
    total_ms: int | None
    left_s: float | None


def hear(
    path: Path | str,
    *,
    weights: Path | None = None,
    model: str = "base",
    lexicon: Matcher | None = None,
    progress: Callable[[Progress], None] | None = None,
    bias: bool = True,
    work_folder: Path | None = None,
    recogniser: Recogniser | None = None,
) -> Transcript:
    """The words of one file: sound, video, WebVTT, SRT, stamped text or our own JSON.

    `weights` is a folder to take the model from (else see `weights.py`); `lexicon` gives the words to
    listen for in the second hearing, which `bias=False` leaves out; `work_folder` keeps finished chunks
    so that an interrupted run goes on. Raises InputError for a file that cannot be used, WeightsError
    where there is no model.
    """
    path = Path(path)
    text = _text_of(path)
    if text is not None:
        return read_transcript(text, path.name, sha256_of(path))
    found = media.probe(path)
    if recogniser is None:
        from memo2list.hearing.whisper import WhisperRecogniser

        recogniser = WhisperRecogniser(find_speech_weights(model, weights), model)
    watch = _Watch(found.duration_ms, progress)
    words: list[Word] = []
    samples = 0
    for offset, chunk in _chunks(path):
        words += _hear_chunk(chunk, offset, recogniser, watch)
        samples = offset + len(chunk)
    duration = round(samples * 1000 / media.RATE)
    recording = Recording(path.name, sha256_of(path), duration, recogniser.name, found.kind)
    doubts = () if words else (StretchFlag(WordRange(0, 0), Flag("silent", "no speech was heard in this recording")),)
    return Transcript(recording, tuple(words), turns_of([None] * len(words)), doubts)


def sha256_of(path: Path) -> str:
    with path.open("rb") as source:
        return hashlib.file_digest(source, "sha256").hexdigest()


def _text_of(path: Path) -> str | None:
    """The file's text if it is a transcript, None if it should be listened to; InputError for other text."""
    if not path.is_file() or not path.stat().st_size or path.stat().st_size > TEXT_LIMIT:
        return None
    with path.open("rb") as source:
        head = source.read(4096)
        if not _looks_like_text(head):
            return None
        text = _decoded(head + source.read())
    if text is None:
        return None
    if text_kind(text) is None:
        sound_name = path.suffix.lower() in {".wav", ".flac", ".mp3", ".m4a", ".ogg", ".opus", ".mp4", ".mov", ".mkv"}
        what = f"holds text, although its name ends in {path.suffix}." if sound_name else "is text without times."
        raise InputError(
            path.name, what, "Give the recording itself, or a transcript: WebVTT, SRT, or text with [1:05] before each stretch."
        )
    return text


def _looks_like_text(head: bytes) -> bool:
    if head.startswith((b"\xff\xfe", b"\xfe\xff", b"\xef\xbb\xbf")):
        return not head.startswith((b"\xff\xfb", b"\xff\xf3"))
    return bool(head.strip()) and not any(b < 9 or 13 < b < 27 or 27 < b < 32 for b in head)


def _decoded(data: bytes) -> str | None:
    for encoding in ("utf-16",) if data.startswith((b"\xff\xfe", b"\xfe\xff")) else ("utf-8-sig", "cp1252"):
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    return None


def _chunks(path: Path) -> Iterator[tuple[int, "np.ndarray"]]:
    """The sound in chunks that end at a pause, each with the number of its first sample."""
    import numpy as np

    from memo2list.hearing.stretches import last_pause

    size, offset, held = CHUNK_S * media.RATE, 0, np.zeros(0, np.float32)
    for block in media.sound(path):
        held = np.concatenate([held, block])
        if len(held) >= size:
            stop = last_pause(held, len(held) - 60 * media.RATE)
            yield offset, held[:stop]
            offset, held = offset + stop, held[stop:]
    yield offset, held


class _Watch:
    """Adds up what is done and tells whoever wants to know."""

    def __init__(self, total_ms: int | None, tell: Callable[[Progress], None] | None):
        self.total_ms, self.tell, self.began = total_ms, tell, time.monotonic()

    def reached(self, done_ms: int) -> None:
        if self.tell is None:
            return
        left = None
        if self.total_ms and done_ms:
            left = max(0.0, (time.monotonic() - self.began) * (self.total_ms - done_ms) / done_ms)
        self.tell(Progress(done_ms, self.total_ms, left))


def _hear_chunk(chunk: "np.ndarray", offset: int, recogniser: Recogniser, watch: _Watch) -> list[Word]:
    from memo2list.hearing.stretches import cut, to_ms

    heard = hear_stretches(cut(chunk, offset), recogniser, lambda ms: watch.reached(to_ms(offset) + ms))
    watch.reached(to_ms(offset + len(chunk)))
    return [word for one in heard for word in one.words]


def hear_stretches(
    stretches: Sequence[Stretch], recogniser: Recogniser, reached: Callable[[int], None] = lambda ms: None
) -> list[Heard]:
    """Hears stretches side by side in batches of like length; `reached` is told how many milliseconds are done."""
    order = sorted(range(len(stretches)), key=lambda n: -stretches[n].span.duration_ms)
    size = max(1, min(recogniser.batch, -(-len(order) // recogniser.workers)))
    batches = [order[n : n + size] for n in range(0, len(order), size)]
    heard: dict[int, Heard] = {}
    with ThreadPoolExecutor(recogniser.workers) as pool:
        waiting = {pool.submit(recogniser.hear, [stretches[n] for n in batch]): batch for batch in batches}
        for future in as_completed(waiting):
            heard |= zip(waiting[future], future.result(), strict=True)
            reached(sum(h.stretch.span.duration_ms for h in heard.values()))
    return hear_the_rest([heard[n] for n in sorted(heard)], recogniser)


def hear_the_rest(heard: list[Heard], recogniser: Recogniser) -> list[Heard]:
    """Hears again, by itself, every voiced span that the first hearing left without words."""
    from memo2list.hearing.coverage import part_of, uncovered, with_words

    gaps = [(n, span) for n, one in enumerate(heard) for span in uncovered(one)]
    parts = [part_of(heard[n].stretch, span) for n, span in gaps]
    with ThreadPoolExecutor(recogniser.workers) as pool:
        found = list(pool.map(lambda part: recogniser.hear([part])[0], parts))
    for (number, span), again in zip(gaps, found, strict=True):
        heard[number] = with_words(heard[number], span, again)
    return heard
