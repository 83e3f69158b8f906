"""`memo2list record`: the microphone into a file, and into a job."""

import queue
import signal
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from memo2list.command_line.stores import store_option
from memo2list.errors import InputError
from memo2list.settings import load_settings, store_folder
from memo2list.timing import short_clock

if TYPE_CHECKING:
    import numpy as np

    from memo2list.hearing.capture import Level, PieceWriter

SILENT_AFTER_S = 5.0
GONE_AFTER_S = 5.0  # a microphone that gives nothing for so long is taken for unplugged
WARN_AGAIN_S = 20.0
METER_WIDTH = 20


@click.command()
@click.argument("job", required=False)
@click.option("-o", "--output", "out", type=click.Path(path_type=Path), help="The sound file to write (WAV); else a dated one.")
@click.option("--device", help="Number of the microphone, or words of its name.")
@click.option("--devices", is_flag=True, help="Show the microphones there are, and stop.")
@click.option("--seconds", type=click.FloatRange(min=0.1), help="Stop by itself after so much sound.")
@click.option("--live", is_flag=True, help="Hear while recording, and show the list as it grows with its open questions.")
@store_option
def record(
    job: str | None,
    out: Path | None,
    device: str | None,
    devices: bool,
    seconds: float | None,
    live: bool,
    store_at: Path | None,
) -> None:
    """Record from a microphone; with JOB, hear the recording afterwards and add it to that job.

    Keys: p pauses and goes on, q stops (so does Ctrl-C). What was said is safe on disk within a second; a recording that
    was cut off is put together the next time.
    """
    from memo2list.hearing.capture import PieceWriter, join, remove_pieces
    from memo2list.hearing.capture_microphone import choose_microphone

    if devices:
        show_devices()
        return
    microphone = choose_microphone(device)
    folder = store_folder(store_at) / "recorded"
    for found in put_together(folder):
        click.echo(f"A recording was cut off earlier; what was said is in {found}", err=True)
    stamp = datetime.now().strftime("%Y-%m-%d %H.%M.%S")
    target = out or folder / f"{stamp}.wav"
    if target.exists():
        raise InputError(target, "is there already.", "Choose another name.")
    writer = PieceWriter(folder / stamp, microphone.rate)
    click.echo(f"Recording from {microphone.name}. p pauses, q stops.", err=True)
    with stopped_by_signals() as stopped, watched_live(writer, live):
        record_until(microphone, Session(writer), seconds, stopped)
    duration = join(writer.folder, target)
    remove_pieces(writer.folder)
    click.echo(f"{target}: {short_clock(duration)} recorded.")
    if job:
        add_to_job(job, target, store_at)


class Session:
    """Takes blocks of sound, and says what the person at the microphone should know."""

    def __init__(self, writer: "PieceWriter", say: Callable[[str], None] = lambda text: click.echo(text, err=True)):
        self.writer, self.say = writer, say
        self.paused = False
        self._silent_s = 0.0
        self._warned: dict[str, int] = {}

    @property
    def seconds(self) -> float:
        return self.writer.samples / self.writer.rate

    def take(self, block: "np.ndarray") -> "Level":
        """Keeps the block unless paused, and warns of clipping and of silence."""
        from memo2list.hearing.capture import SILENT_DB, level

        found = level(block)
        if self.paused:
            self.writer.still_here()
            return found
        self.writer.write(block)
        self._silent_s = self._silent_s + block.size / self.writer.rate if found.peak_db < SILENT_DB else 0.0
        if found.clipped:
            self._warn("Too loud: the sound is clipped. Hold the microphone farther away.")
        if self._silent_s >= SILENT_AFTER_S:
            self._warn("Nothing is heard. Is the microphone muted or covered?")
        return found

    def key(self, pressed: str) -> bool:
        """p pauses and goes on; True if this key stops the recording."""
        if pressed == "p":
            self.paused = not self.paused
            self.say("Paused. p goes on." if self.paused else "Recording.")
        return pressed in ("q", "\x03", "\x04")

    def _warn(self, text: str) -> None:
        last = self._warned.get(text)
        if last is None or self.writer.samples - last >= WARN_AGAIN_S * self.writer.rate:
            self._warned[text] = self.writer.samples
            self.say(text)


def record_until(microphone: Any, session: Session, seconds: float | None, stopped: Callable[[], bool]) -> None:
    """Records until a key, a signal or the time asked for; a microphone that falls silent for good ends it, with a word."""
    from memo2list.hearing.capture_microphone import listening_to

    blocks: queue.SimpleQueue[Any] = queue.SimpleQueue()
    last = time.monotonic()
    try:
        with listening_to(microphone, blocks.put), pressed_keys() as keys:
            while not stopped() and not session.key(keys()):
                try:
                    found = session.take(blocks.get(timeout=0.2))
                except queue.Empty:
                    if time.monotonic() - last > GONE_AFTER_S:
                        session.say("The microphone gives no sound any more; the recording ends here.")
                        return
                    continue
                last = time.monotonic()
                show_meter(found, session)
                if seconds and session.seconds >= seconds:
                    return
    finally:
        while not session.paused and not blocks.empty() and not (seconds and session.seconds >= seconds):
            session.take(blocks.get())
        session.writer.close()


def show_meter(found: "Level", session: Session) -> None:
    if sys.stderr.isatty():
        state = "paused" if session.paused else short_clock(round(session.seconds * 1000))
        click.echo(f"\r\x1b[K{meter(found.peak_db)} {state}", err=True, nl=False)


def meter(peak_db: float) -> str:
    """
    >>> meter(-30.0), meter(0.0)[-2:], meter(float("-inf")).count("#")
    ('[##########----------]', '#]', 0)
    """
    bars = round(METER_WIDTH * max(0.0, min(1.0, 1 + peak_db / 60)))
    return f"[{'#' * bars}{'-' * (METER_WIDTH - bars)}]"


@contextmanager
def stopped_by_signals() -> Iterator[Callable[[], bool]]:
    """While it lasts, Ctrl-C and a polite kill only set the answer to True, so that the recording is put together."""
    seen: list[int] = []
    signals = [signal.SIGINT, signal.SIGTERM]
    before = [signal.signal(s, lambda number, frame: seen.append(number)) for s in signals]
    try:
        yield lambda: bool(seen)
    finally:
        for number, handler in zip(signals, before, strict=True):
            signal.signal(number, handler)


@contextmanager
def pressed_keys() -> Iterator[Callable[[], str]]:
    """Gives a function that says which key was pressed since, "" if none; always "" without a keyboard."""
    try:
        import select
        import termios
        import tty
    except ImportError:  # Windows
        yield lambda: ""
        return
    if not sys.stdin.isatty():
        yield lambda: ""
        return
    before = termios.tcgetattr(sys.stdin)
    tty.setcbreak(sys.stdin)
    try:
        yield lambda: sys.stdin.read(1) if select.select([sys.stdin], [], [], 0)[0] else ""
    finally:
        termios.tcsetattr(sys.stdin, termios.TCSADRAIN, before)


def put_together(folder: Path) -> list[Path]:
    """Joins recordings that something cut off; those without any sound are removed."""
    from memo2list.hearing.capture import join, remove_pieces, unfinished

    saved = []
    for cut_off in unfinished(folder):
        target = cut_off.with_name(f"{cut_off.name}.wav")
        try:
            join(cut_off, target)
            saved.append(target)
        except InputError:
            if target.exists():
                continue  # joined before, but not cleared away: leave both
        remove_pieces(cut_off)
    return saved


def show_devices() -> None:
    from memo2list.command_line.tables import show
    from memo2list.hearing.capture_microphone import microphones

    show(("Number", "Name", "Samples a second"), [(m.number, m.name, m.rate) for m in microphones()])


@contextmanager
def watched_live(writer: "PieceWriter", wanted: bool) -> Iterator[None]:
    if not wanted:
        yield
        return
    from memo2list.command_line.live import LiveList

    with LiveList(writer, load_settings().model):
        yield


def add_to_job(job: str, file: Path, store_at: Path | None) -> None:
    from memo2list.command_line.jobs import add

    click.get_current_context().invoke(
        add, job=job, files=(file,), customer="", address="", must_be_new=False, model=None, reader=None, store_at=store_at
    )
