"""Microphones, through PortAudio (the extra `record`)."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from memo2list.errors import InputError

if TYPE_CHECKING:
    import numpy as np

BLOCK_S = 0.1


@dataclass(frozen=True, slots=True)
class Microphone:
    """A device that sound can be recorded from."""

    number: int
    name: str
    rate: int  # samples a second it prefers


def microphones() -> tuple[Microphone, ...]:
    """All devices with an input. Raises InputError where sounddevice or PortAudio is missing."""
    return tuple(
        Microphone(n, d["name"], int(d["default_samplerate"]))
        for n, d in enumerate(_sounddevice().query_devices())
        if d["max_input_channels"] > 0
    )


def choose_microphone(wanted: str | None = None) -> Microphone:
    """The device of that number or with those words in its name; the machine's default if none is wanted."""
    found = microphones()
    if not found:
        raise InputError("microphone", "No microphone was found.", "Plug one in or allow access to it, then try again.")
    if wanted is None:
        default = _sounddevice().default.device[0]
        return next((m for m in found if m.number == default), found[0])
    for microphone in found:
        if wanted == str(microphone.number) or (not wanted.isdigit() and wanted.lower() in microphone.name.lower()):
            return microphone
    names = ", ".join(f"{m.number} {m.name}" for m in found)
    raise InputError(wanted, "is no microphone of this machine.", f"There are: {names}.")


@contextmanager
def listening_to(microphone: Microphone, take: "Callable[[np.ndarray], None]") -> Iterator[None]:
    """Hands blocks of 16-bit mono samples to `take`, from another thread, while the context lasts."""
    sounddevice = _sounddevice()

    def arrived(data: Any, frames: int, time: Any, status: Any) -> None:
        take(data[:, 0].copy())

    try:
        stream = sounddevice.InputStream(
            samplerate=microphone.rate,
            blocksize=int(microphone.rate * BLOCK_S),
            device=microphone.number,
            channels=1,
            dtype="int16",
            callback=arrived,
        )
        stream.start()
    except sounddevice.PortAudioError as error:
        raise InputError(
            microphone.name, f"cannot be recorded from ({error}).", "Close other programs that use it, or choose --device."
        ) from None
    try:
        yield
    finally:
        stream.stop()
        stream.close()


def _sounddevice() -> Any:
    try:
        import sounddevice
    except ImportError:
        raise InputError("record", "needs the package sounddevice.", "Install it with: pip install 'memo2list[record]'") from None
    except OSError:
        raise InputError(
            "record", "needs the PortAudio library, which is not here.", "Install it, on Debian: apt install libportaudio2"
        ) from None
    return sounddevice
