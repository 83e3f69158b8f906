"""The whole story in one place: a file is heard, read and listed."""

import datetime
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from memo2list.errors import InputError, UnknownJobError, WeightsError
from memo2list.hearing import Progress, hear
from memo2list.listing import list_items
from memo2list.listing.agreement import both
from memo2list.listing.told import as_told
from memo2list.reading import read
from memo2list.reading.deep.loading import HINT as NOT_HERE
from memo2list.reading.deep.loading import converted_folder
from memo2list.reading.deep.reader import read_deep
from memo2list.records import Flag, PunchList, Reading, Transcript
from memo2list.vocabulary.entries import Matcher
from memo2list.vocabulary.lexicon import load_lexicon

if TYPE_CHECKING:
    from memo2list.exports import Picture, Sheet
    from memo2list.reading.deep.model import Answerer
    from memo2list.settings import Settings
    from memo2list.store import Store

READERS = ("quick", "deep", "both")
UNREADABLE = "picture-unreadable"


def process(
    path: Path | str,
    *,
    lexicon: Matcher | None = None,
    model: str = "base",
    weights: Path | None = None,
    reader: str = "",
    work_folder: Path | None = None,
    progress: Callable[[Progress], None] | None = None,
    own_words: Sequence[str] = (),
) -> tuple[Transcript, Reading, PunchList]:
    """One recording or transcript, all the way. Raises InputError for a file or reader that cannot be used."""
    lexicon = lexicon or load_lexicon()
    transcript = hear(
        path,
        weights=weights,
        model=model,
        lexicon=lexicon,
        progress=progress,
        own_words=own_words,
        work_folder=work_folder,
    )
    readings, punch_list = understand([transcript], lexicon, reader)
    return transcript, readings[0], punch_list


def list_transcripts(transcripts: Sequence[Transcript], lexicon: Matcher | None = None, reader: str = "") -> PunchList:
    """One list of several recordings that are heard already, in the order given."""
    return understand(transcripts, lexicon or load_lexicon(), reader)[1]


def understand(
    transcripts: Sequence[Transcript], lexicon: Matcher, reader: str = "", model: "Answerer | None" = None
) -> tuple[list[Reading], PunchList]:
    """What the chosen reader makes of transcripts: its readings and their list; "" takes both readers if the deep one is here."""
    chosen = reader_in_use(reader)
    quick = [read(t, lexicon) for t in transcripts] if chosen != "deep" else []
    answerer = None if chosen == "quick" else model or deep_model()
    deep = [read_deep(t, lexicon, answerer) for t in transcripts] if answerer else []
    lists = [list_items(readings, lexicon) for readings in (quick, deep) if readings]
    found = both(*lists) if len(lists) == 2 else lists[0] if lists else PunchList((), (), ())
    return quick or deep, as_told(found, transcripts)


def words_of(settings: "Settings", store: "Store | None" = None, job: str = "") -> tuple[str, ...]:
    """What is likely to be said on a walk, for `hear`: the names of the business and, of a job, its own, its customer's
    and its address, and the places, materials and elements of its list. Of a job that is not there yet, its name.
    """
    texts = [settings.business.name, *settings.business.address, job]
    if store is not None and job:
        with suppress(UnknownJobError):
            found = store.job(job)
            texts += [found.customer, found.address]
            for item in store.items(job):
                texts += [item.location or "", *item.materials, item.element, *item.heard]
    return tuple(dict.fromkeys(filter(None, texts)))


def keep_recording(store: "Store", job: str, file: Path, transcript: Transcript) -> None:
    """Keeps a recording that was heard, and when it began as far as the file says. Raises what the store raises.

    The date of memo2list's own transcript says nothing of the recording it was heard from.
    """
    from memo2list.hearing.capture_times import start_of
    from memo2list.store.recordings import is_own_transcript

    start = None if is_own_transcript(file) else start_of(file, transcript.recording)
    store.keep_recording(job, file, transcript)
    if start:
        store.set_start(job, transcript.recording.sha256, start.at_ms, start.by)


def reader_in_use(reader: str = "") -> str:
    """The reader a call means; raises InputError for a name that is none."""
    if reader and reader not in READERS:
        raise InputError(reader, "is no reader that can be used here.", f"Choose one of: {', '.join(READERS)}.")
    return reader or ("both" if converted_folder() else "quick")


def deep_model() -> "Answerer":
    """The deep reader's model; WeightsError with the ways out if it is not on this machine."""
    from memo2list.reading.deep.loading import load

    folder = converted_folder()
    if folder is None:
        raise WeightsError(f"the deep reader is not on this machine: {NOT_HERE}.")
    return load(folder)


def sheet_of(
    store: "Store", job: str, settings: "Settings", pictures: bool = True, places: bool = False, **asked: Any
) -> "Sheet":
    """A job's list as a sheet with today's date; `asked` are fields of Sheet: reader, kind, by, quotes.

    A picture that cannot be opened is left out, with a flag of the list that says so.
    """
    from memo2list.exports import Sheet

    found, listed = store.job(job), store.punch_list(job)
    shown, left_out = pictures_of(store, job, places) if pictures else ({}, ())
    return Sheet(
        replace(listed, flags=(*listed.flags, *left_out)),
        title=found.name,
        customer=found.customer,
        address=found.address,
        made=datetime.date.today(),
        settings=settings,
        trades={e.name: e.trade for e in load_lexicon().of_kind("element")} if asked.get("by") == "trade" else {},
        pictures=shown,
        **asked,
    )


def pictures_of(store: "Store", job: str, places: bool = False) -> "tuple[dict[str, tuple[Picture, ...]], tuple[Flag, ...]]":
    """The pictures of each item, by its key, and a flag for each that cannot be opened.

    A filmed item without any picture gets frames: those asked for, else one.
    """
    from memo2list.exports.pictures import scaled, still

    found: dict[str, tuple[Picture, ...]] = {}
    left_out: list[Flag] = []
    for kept in (k for k in store.pictures(job) if k.key):
        try:
            found[kept.key] = (*found.get(kept.key, ()), scaled(kept.file, kept.name, places))
        except InputError as error:
            left_out.append(Flag(UNREADABLE, f"a picture is left out: {error}"))
    films = {k.recording.sha256: k for k in store.recordings(job) if k.recording.kind == "video"}
    for item in store.items(job) if films else ():
        quote = next((q for q in item.quotes if q.recording in films), None)
        wanted = [(w.recording, w.at_ms) for w in item.wanted_pictures if w.recording in films]
        times = wanted or ([(quote.recording, quote.span.start_ms)] if quote else [])
        if item.key not in found and times:
            frames = [still(films[film].file, films[film].recording.name, at_ms) for film, at_ms in times]
            found |= {item.key: tuple(frame for frame in frames if frame)} if any(frames) else {}
    return found, tuple(left_out)
