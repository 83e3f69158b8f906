"""One file in, one transcript out: chooses by content whether to listen or to read."""

import hashlib
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from memo2list.errors import InputError, Problem
from memo2list.hearing import media
from memo2list.hearing.chunks import Chunk, KeptChunks
from memo2list.hearing.ears import Ears
from memo2list.hearing.listening import Terms
from memo2list.hearing.recogniser import Recogniser
from memo2list.hearing.site_talk import site_talk
from memo2list.hearing.stretches import last_pause, to_ms
from memo2list.hearing.term_table import terms_for
from memo2list.hearing.transcripts import read_transcript, text_kind, turns_of
from memo2list.records import Flag, Recording, StretchFlag, Transcript, Word, WordRange
from memo2list.timing import short_clock
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
    own_words: Sequence[str] = (),
    work_folder: Path | None = None,
    recogniser: Recogniser | None = None,
    speakers: bool = True,
) -> Transcript:
    """The words of one file: sound, video, WebVTT, SRT, stamped text or our own JSON.

    `weights` is a folder to take the model from (else see `weights.py`); `lexicon` gives the words to
    listen for in the second hearing, which `bias=False` leaves out; `own_words` are those of the job (names,
    places, materials heard before), which are listened for as well and believed more readily; `work_folder` keeps finished chunks
    so that an interrupted run goes on; with `speakers` the voices in sound are told apart as A, B, … in order of speaking, None
    where nobody can say (`speakers.py`). Raises InputError for a file that cannot be used, WeightsError
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
    ears = Ears(recogniser, _terms(lexicon, recogniser, own_words) if bias else None, tuple(own_words), site_talk())
    digest = sha256_of(path)
    own = sorted(set(own_words) - {""})
    kept = (
        KeptChunks(work_folder, f"{digest}|{recogniser.name}|{bias}|{_content(ears.terms)}|{own}|{speakers}")
        if work_folder
        else None
    )
    chunks = list(_heard_chunks(path, ears, kept, _Watch(found.duration_ms, progress), speakers))
    if kept:
        kept.clear()
        kept.sweep()
    return _joined(Recording(path.name, digest, chunks[-1].end_ms, recogniser.name, found.kind), chunks, found.duration_ms)


def hear_each(paths: Sequence[Path | str], **options: Any) -> Iterator[tuple[Path, Transcript | Problem]]:
    """Each file in the order given with its transcript, or with the problem that kept it from being heard.

    `options` are those of `hear`. One file that cannot be used does not stop the others.
    """
    for path in map(Path, paths):
        try:
            yield path, hear(path, **options)
        except InputError as error:
            yield path, Problem(error.where, error.what, error.remedy)


def _heard_chunks(path: Path, ears: Ears, kept: KeptChunks | None, watch: "_Watch", speakers: bool) -> Iterator[Chunk]:
    """The chunks of a recording in order; those an interrupted run finished are taken from `kept`."""
    number, skip = 0, 0
    while kept and (chunk := kept.read(number)):
        number, skip = number + 1, chunk.end_sample
        watch.skipped(chunk.end_ms)
        yield chunk
    for offset, samples in _chunks(path, skip):
        chunk = ears.hear(samples, offset, partial(watch.reached_in, to_ms(offset)))
        if speakers:
            from memo2list.hearing.voices import voices_in

            chunk = replace(chunk, voices=voices_in(samples, chunk.words, offset))
        if kept:
            kept.write(number, chunk)
        number += 1
        watch.reached(chunk.end_ms)
        yield chunk


def _joined(recording: Recording, chunks: Sequence[Chunk], claimed_ms: int | None) -> Transcript:
    """One transcript out of chunks. A recording without words, or shorter than it claims, carries a flag."""
    words: list[Word] = []
    doubts: list[StretchFlag] = []
    for chunk in chunks:
        doubts += [replace(d, words=WordRange(d.words.first + len(words), d.words.stop + len(words))) for d in chunk.doubts]
        words += chunk.words
    if not words:
        doubts.append(StretchFlag(WordRange(0, 0), Flag("silent", "no speech was heard in this recording")))
    if claimed_ms and claimed_ms - recording.duration_ms > max(2000, claimed_ms // 50):
        reason = f"the file claims {short_clock(claimed_ms)} but its sound ends at {short_clock(recording.duration_ms)}"
        doubts.append(StretchFlag(WordRange(len(words), len(words)), Flag("cut-short", reason)))
    return Transcript(recording, tuple(words), turns_of(_speakers(words, chunks)), tuple(doubts))


def _speakers(words: Sequence[Word], chunks: Sequence[Chunk]) -> list[str | None]:
    voices = [c.voices for c in chunks if c.voices]
    if len(voices) < len(chunks):
        return [None] * len(words)
    from memo2list.hearing.speakers import who

    return who(words, voices)


def _terms(lexicon: Matcher | None, recogniser: Recogniser, own_words: Sequence[str]) -> Terms | None:
    entries = getattr(lexicon, "entries", ())
    return terms_for(entries, recogniser, own_words) if entries else None


def _content(terms: Terms | None) -> str:
    return hashlib.sha256("|".join(sorted(terms.texts)).encode()).hexdigest()[:16] if terms else ""


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


def _chunks(path: Path, skip: int = 0) -> Iterator[tuple[int, "np.ndarray"]]:
    """The sound from sample `skip` on, in chunks that end at a pause, each with the number of its first sample.

    There is always one chunk at least, an empty one if nothing is left.
    """
    import numpy as np

    size, offset, held, passed = CHUNK_S * media.RATE, skip, np.zeros(0, np.float32), 0
    for block in media.sound(path):
        fresh = block[max(0, skip - passed) :]
        passed += len(block)
        held = np.concatenate([held, fresh])
        if len(held) >= size:
            stop = last_pause(held, len(held) - 60 * media.RATE)
            yield offset, held[:stop]
            offset, held = offset + stop, held[stop:]
    if len(held) or not skip:
        yield offset, held


class _Watch:
    """Adds up what is done and tells whoever wants to know."""

    def __init__(self, total_ms: int | None, tell: Callable[[Progress], None] | None):
        self.total_ms, self.tell, self.began, self.before_ms = total_ms, tell, time.monotonic(), 0

    def skipped(self, done_ms: int) -> None:
        """An earlier run did this much."""
        self.before_ms = done_ms
        self.reached(done_ms)

    def reached_in(self, start_ms: int, done_ms: int) -> None:
        """So much is done of the chunk that begins at `start_ms`."""
        self.reached(start_ms + done_ms)

    def reached(self, done_ms: int) -> None:
        if self.tell is None:
            return
        left = None
        fresh = done_ms - self.before_ms
        if self.total_ms and fresh > 0:
            left = max(0.0, (time.monotonic() - self.began) * (self.total_ms - done_ms) / fresh)
        self.tell(Progress(done_ms, self.total_ms, left))
