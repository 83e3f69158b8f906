"""The whole story in one place: a file is heard, read and listed."""

from collections.abc import Callable, Sequence
from pathlib import Path

from memo2list.errors import InputError
from memo2list.hearing import Progress, hear
from memo2list.listing import list_items
from memo2list.reading import read
from memo2list.records import PunchList, Reading, Transcript
from memo2list.vocabulary.entries import Matcher
from memo2list.vocabulary.lexicon import load_lexicon

READERS: dict[str, Callable[[Transcript, Matcher], Reading]] = {"quick": read}


def process(
    path: Path | str,
    *,
    lexicon: Matcher | None = None,
    model: str = "base",
    weights: Path | None = None,
    reader: str = "quick",
    progress: Callable[[Progress], None] | None = None,
) -> tuple[Transcript, Reading, PunchList]:
    """One recording or transcript, all the way. Raises InputError for a file or reader that cannot be used."""
    lexicon = lexicon or load_lexicon()
    transcript = hear(path, model=model, weights=weights, lexicon=lexicon, progress=progress)
    reading = understand(transcript, lexicon, reader)
    return transcript, reading, list_items([reading], lexicon)


def list_transcripts(transcripts: Sequence[Transcript], lexicon: Matcher | None = None, reader: str = "quick") -> PunchList:
    """One list of several recordings that are heard already, in the order given."""
    lexicon = lexicon or load_lexicon()
    return list_items([understand(t, lexicon, reader) for t in transcripts], lexicon)


def understand(transcript: Transcript, lexicon: Matcher, reader: str = "quick") -> Reading:
    """What the chosen reader makes of a transcript."""
    if reader not in READERS:
        raise InputError(reader, "is no reader that can be used here.", f"Choose one of: {', '.join(READERS)}.")
    return READERS[reader](transcript, lexicon)
