"""Hears with Whisper on CTranslate2. The only module that imports faster-whisper's model."""

import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from memo2list.hearing.recogniser import Stretch
from memo2list.records import Word
from memo2list.timing import TimeSpan, from_seconds


class WhisperRecogniser:
    """Whisper in int8, one worker a core. Loading takes about a second; keep one for the whole run."""

    def __init__(self, folder: Path, model: str, workers: int | None = None):
        from faster_whisper import WhisperModel

        self.name = f"whisper {model} int8"
        self.workers = workers or cores()
        self._model: Any = WhisperModel(
            str(folder), device="cpu", compute_type="int8", cpu_threads=1, num_workers=self.workers, local_files_only=True
        )

    def hear(self, stretch: Stretch, hotwords: Sequence[str] = ()) -> tuple[Word, ...]:
        segments, _ = self._model.transcribe(
            stretch.samples,
            language="en",
            beam_size=5,
            word_timestamps=True,
            condition_on_previous_text=False,
            hotwords=", ".join(hotwords) or None,
        )
        return tuple(_word(w, stretch.span) for segment in segments for w in segment.words or () if w.word.strip())


def _word(word: Any, span: TimeSpan) -> Word:
    start = min(span.start_ms + from_seconds(word.start), span.end_ms)
    end = min(max(start, span.start_ms + from_seconds(word.end)), max(start, span.end_ms))
    return Word(word.word.strip(), TimeSpan(start, end), round(float(word.probability), 4))


def cores() -> int:
    """Cores this process may use."""
    return max(1, len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1)
