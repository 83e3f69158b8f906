"""WebVTT (W3C): one cue an item and quote, so that a player shows the item while its words are heard; or, as chapters,
one cue an item from its first word to the next item's. One file belongs to one recording: `Sheet.recording` says which."""

from collections.abc import Iterable, Sequence

from memo2list.errors import InputError
from memo2list.exports.exporter import Sheet
from memo2list.records import Item, Quote, Recording
from memo2list.timing import TimeSpan

SHORTEST_MS = 500


def write(sheet: Sheet) -> bytes:
    """Raises InputError if the list has no recording of the name asked for."""
    recording = chosen(sheet)
    if recording is None:
        return b"WEBVTT\n"
    text = chapters(sheet, recording) if sheet.kind == "chapters" else captions(sheet, recording)
    return text.encode("utf-8", "replace")


def chosen(sheet: Sheet) -> Recording | None:
    recordings = sheet.punch_list.recordings
    if not sheet.recording:
        return recordings[0] if recordings else None
    for recording in recordings:
        if sheet.recording in (recording.name, recording.sha256):
            return recording
    names = ", ".join(r.name for r in recordings) or "none"
    raise InputError(sheet.recording, "is no recording of this list.", f"Its recordings are: {names}.")


def captions(sheet: Sheet, recording: Recording) -> str:
    """The items of one recording as cues, in order of time."""
    pairs = [(q, i) for i in sheet.items for q in _of(i.quotes, recording)]
    cues = [
        cue(f"item {item.number}", quote.span, [f"<b>{escaped(f'{item.number}. {item.title}')}</b>", escaped(quote.text)])
        for quote, item in sorted(pairs, key=lambda pair: (pair[0].span, pair[1].number))
    ]
    return _file(recording, cues)


def chapters(sheet: Sheet, recording: Recording) -> str:
    """One chapter an item, from its first word to the next item's, none overlapping (WebVTT 4.3, chapter cues)."""
    firsts = [(first, item) for item in sheet.items if (first := _first(item, recording)) is not None]
    starts = sorted(firsts, key=lambda pair: pair[0])
    cues = []
    for number, (start, item) in enumerate(starts):
        end = starts[number + 1][0] if number + 1 < len(starts) else max(recording.duration_ms, start + SHORTEST_MS)
        if end > start:
            cues.append(cue(f"chapter {item.number}", TimeSpan(start, end), [escaped(f"{item.number}. {item.title}")]))
    return _file(recording, cues)


def cue(name: str, span: TimeSpan, lines: Sequence[str]) -> str:
    end = max(span.end_ms, span.start_ms + SHORTEST_MS)
    text = "\n".join(" ".join(line.split()) for line in lines)
    return f"{name}\n{stamp(span.start_ms)} --> {stamp(end)}\n{text}\n"


def stamp(ms: int) -> str:
    """
    >>> stamp(3_723_004)
    '01:02:03.004'
    """
    return f"{ms // 3_600_000:02d}:{ms // 60_000 % 60:02d}:{ms // 1000 % 60:02d}.{ms % 1000:03d}"


def escaped(text: str) -> str:
    """Text with what WebVTT takes for markup escaped, "-->" among it.

    >>> escaped("3 < 4 --> 5 & 6")
    '3 &lt; 4 --&gt; 5 &amp; 6'
    """
    return text.replace("\0", "\ufffd").replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _first(item: Item, recording: Recording) -> int | None:
    return min((q.span.start_ms for q in _of(item.quotes, recording)), default=None)


def _of(quotes: Iterable[Quote], recording: Recording) -> list[Quote]:
    return [q for q in quotes if q.recording == recording.sha256]


def _file(recording: Recording, cues: Sequence[str]) -> str:
    name = " ".join(recording.name.split()).replace("-->", "→")
    return "\n".join(["WEBVTT\n", f"NOTE {name}\n", *cues])
