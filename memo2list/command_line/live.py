"""The list while the walk goes on: finished pieces are heard in the background, and what is new on the list is shown."""

import threading
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

import click

from memo2list.records import NOTE_TO_SELF, TAKEN_BACK, Item, PunchList, Recording, Transcript, Word
from memo2list.timing import TimeSpan

if TYPE_CHECKING:
    from memo2list.hearing.capture import PieceWriter

LOOK_EVERY_S = 0.5


class LiveList:
    """A context in which the pieces of a recording are heard as they are finished.

    On a slow machine it falls behind without harm to the recording: all pieces that wait are heard in one go, and at the
    end only what is being heard is finished. The recording itself is heard again as a whole when it is added to a job.
    """

    def __init__(self, writer: "PieceWriter", model: str, say: Callable[[str], None] = click.echo, recogniser: Any = None):
        self._writer, self._model, self._say, self._recogniser = writer, model, say, recogniser
        self._words: tuple[Word, ...] = ()
        self._shown: set[tuple[str, str]] = set()
        self._heard = 0  # pieces
        self._heard_ms = 0
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, name="live list")

    def __enter__(self) -> "LiveList":
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._stop.set()
        self._thread.join()

    def _run(self) -> None:
        from memo2list.errors import Memo2listError

        try:
            self._prepare()
            while not self._stop.wait(LOOK_EVERY_S):
                self.catch_up()
            self.catch_up()
        except Memo2listError as error:
            self._say(f"The live list stops ({error}). The recording goes on.")

    def _prepare(self) -> None:
        from memo2list.vocabulary.lexicon import load_lexicon

        self._lexicon = load_lexicon()
        if self._recogniser is None:
            from memo2list.hearing.whisper import WhisperRecogniser
            from memo2list.weights import find_speech_weights

            self._recogniser = WhisperRecogniser(find_speech_weights(self._model, None), self._model)

    def catch_up(self) -> None:
        """Hears all pieces that are finished and not heard yet, and shows what that adds to the list."""
        waiting = self._writer.finished[self._heard :]
        if not waiting:
            return
        found = self._hear(waiting)
        self._heard += len(waiting)
        self._words += tuple(replace(w, span=shifted(w.span, self._heard_ms)) for w in found.words)
        self._heard_ms += found.recording.duration_ms
        self._show()

    def _hear(self, waiting: list[Path]) -> Transcript:
        from memo2list.hearing import hear
        from memo2list.hearing.capture import write_wave

        with TemporaryDirectory() as folder:
            file = Path(folder) / "live.wav"
            with file.open("wb") as out:
                write_wave(out, waiting, self._writer.rate)
            return hear(file, lexicon=self._lexicon, recogniser=self._recogniser, speakers=False)

    def _show(self) -> None:
        from memo2list.hearing.transcripts import turns_of
        from memo2list.pipeline import list_transcripts

        recording = Recording("live.wav", "0" * 64, self._heard_ms, self._recogniser.name)
        whole = Transcript(recording, self._words, turns_of([None] * len(self._words)))
        found = list_transcripts([whole], self._lexicon)
        for item in found.items:
            for line in news_of(item, self._shown):
                self._say(line)
        for line in told_lines(found):
            if ("", line) not in self._shown:
                self._shown.add(("", line))
                self._say(line)


def told_lines(found: PunchList) -> list[str]:
    """What was said to the list: taken back, put aside, asked of the office, not understood."""
    aside = [f"- {s.why}: {s.element or s.quotes[0].text}" for s in found.set_aside if s.why in (TAKEN_BACK, NOTE_TO_SELF)]
    return aside + [f"For the office: {q.text}" for q in found.questions] + [f"! {f.reason}" for f in found.flags]


def shifted(span: TimeSpan, by_ms: int) -> TimeSpan:
    return TimeSpan(span.start_ms + by_ms, span.end_ms + by_ms)


def news_of(item: Item, shown: set[tuple[str, str]]) -> list[str]:
    """The lines about an item that were not shown yet; `shown` is added to. The first words said are what it is known by."""
    known_by = item.element + str(item.quotes[0].words.first if item.quotes else "")
    lines = [f"+ {item.title}{f' ({item.location})' if item.location else ''}", *(f"    ? {q}" for q in item.questions)]
    news = [line for line in lines if (known_by, line) not in shown]
    shown |= {(known_by, line) for line in news}
    return news
