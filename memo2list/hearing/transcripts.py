"""Transcripts somebody already has: WebVTT, SRT, text with `[m:ss]` stamps, and our own JSON.

All four give the same `Transcript`. Where a file only has times for whole cues, the words share the
cue's time by their length; inner WebVTT timestamps are used where there are any.
"""

import html
import re
from collections import Counter
from dataclasses import dataclass, replace
from typing import Literal

from memo2list.errors import InputError
from memo2list.records import Recording, Transcript, Turn, Word, WordRange
from memo2list.timing import TimeSpan, from_clock
from memo2list.transcript_json import transcript_from_json, transcript_to_json

__all__ = ["TextKind", "read_transcript", "text_kind", "transcript_from_json", "transcript_to_json"]

TextKind = Literal["webvtt", "srt", "json", "stamped"]
CLOCK = r"(?:\d+:)?\d{1,2}:\d{2}(?:[.,]\d{1,3})?"
CUE_TIMES = re.compile(rf"^\s*({CLOCK})\s*-->\s*({CLOCK})(?:\s.*)?$")
STAMPED_LINE = re.compile(rf"^\s*\[({CLOCK})(?:\s*(?:-|–|-->)\s*({CLOCK}))?\]\s*(.*)$")
VOICE = re.compile(r"<v(?:\.[^\s>]*)?\s+([^>]*)>")
INNER_TIME = re.compile(rf"<({CLOCK})>")
TAG = re.compile(r"</?[^<>]*>")
LABEL = re.compile(r"^([A-Z][\w'.-]*(?: [\w'.-]+){0,2}):\s+(?=\S)")
MS_PER_CHARACTER = 65  # speech runs at about 15 characters a second (common practice for subtitles)
PIECE_JOIN = "\n"


@dataclass(frozen=True, slots=True)
class Cue:
    """Text with one time; `speaker` is None where the file does not say."""

    span: TimeSpan
    text: str
    speaker: str | None = None


def text_kind(text: str) -> TextKind | None:
    """What kind of transcript the text is, by its content; None if it is none of ours."""
    head = text.lstrip("\ufeff \t\r\n")
    if head.startswith("WEBVTT"):
        return "webvtt"
    if head.startswith("{"):
        return "json"
    lines = text.splitlines()
    if any(CUE_TIMES.match(line) for line in lines):
        return "srt"
    return "stamped" if any(STAMPED_LINE.match(line) for line in lines) else None


def read_transcript(text: str, name: str, sha256: str) -> Transcript:
    """The transcript in `text`, as a recording called `name`; InputError if it cannot be read as one."""
    kind = text_kind(text)
    if kind == "json":
        found = transcript_from_json(text, name)
        return replace(found, recording=replace(found.recording, sha256=found.recording.sha256 or sha256))
    if kind is None:
        raise InputError(name, "is text without times.", "Put a time before each stretch, as [1:05], or use WebVTT or SRT.")
    cues = _stamped_cues(text) if kind == "stamped" else _timed_cues(text, kind)
    cues = [c for c in _label_speakers(cues) if c.text.strip()]
    words, speakers = [], []
    for cue in cues:
        spread = spread_words(cue)
        words += spread
        speakers += [cue.speaker] * len(spread)
    end = max((c.span.end_ms for c in cues), default=0)
    return Transcript(Recording(name, sha256, end, "", "transcript"), tuple(words), turns_of(speakers))


def turns_of(speakers: list[str | None]) -> tuple[Turn, ...]:
    """Turns from the speaker of each word.

    >>> [(t.words.stop, t.speaker) for t in turns_of(["A", "A", None])]
    [(2, 'A'), (3, None)]
    """
    turns: list[Turn] = []
    for number, speaker in enumerate(speakers):
        if turns and turns[-1].speaker == speaker:
            turns[-1] = Turn(WordRange(turns[-1].words.first, number + 1), speaker)
        else:
            turns.append(Turn(WordRange(number, number + 1), speaker))
    return tuple(turns)


def spread_words(cue: Cue) -> list[Word]:
    """The words of a cue with times shared out by length (a letter of breath between words counted in).

    >>> [w.span.start_ms for w in spread_words(Cue(TimeSpan(0, 1000), "a board"))]
    [0, 250]
    """
    words = cue.text.split()
    total = sum(len(w) + 1 for w in words)
    spread, before = [], 0
    for word in words:
        after = before + len(word) + 1
        start, stop = (cue.span.start_ms + cue.span.duration_ms * part // total for part in (before, after))
        spread.append(Word(word, TimeSpan(start, stop)))
        before = after
    return spread


def _timed_cues(text: str, kind: TextKind) -> list[Cue]:
    """The cues of a WebVTT or SRT file. Comments, styles, regions, cue names and settings are passed over."""
    cues: list[Cue] = []
    for block in re.split(r"\n[ \t]*\n", text.lstrip("\ufeff").replace("\r\n", "\n").replace("\r", "\n")):
        lines = block.strip("\n").split("\n")
        at = next((n for n, line in enumerate(lines) if CUE_TIMES.match(line)), None)
        if at is None or (at > 1 and kind == "webvtt"):
            continue
        times = CUE_TIMES.match(lines[at])
        assert times is not None
        start, end = from_clock(times[1]), from_clock(times[2])
        cues += _voices(TimeSpan(start, max(start, end)), "\n".join(lines[at + 1 :]))
    return cues


def _voices(span: TimeSpan, text: str) -> list[Cue]:
    """One cue for each voice and each inner time in the text of a cue."""
    speaker: str | None = None
    pieces: list[Cue] = []
    parts = VOICE.split(text)
    timed = [Cue(span, "")] * 0
    for number, part in enumerate(parts):
        if number % 2:
            speaker = html.unescape(part).strip() or None
        else:
            timed += _inner_times(Cue(span, part, speaker))
    total = sum(len(c.text) for c in timed if c.span == span) or 1
    before = 0
    for cue in timed:
        if cue.span == span and len(parts) > 3:  # several voices share the cue's time by length
            start = span.start_ms + span.duration_ms * before // total
            before += len(cue.text)
            cue = replace(cue, span=TimeSpan(start, span.start_ms + span.duration_ms * before // total))
        pieces.append(cue)
    return [c for c in pieces if c.text]


def _inner_times(cue: Cue) -> list[Cue]:
    parts = INNER_TIME.split(cue.text)
    starts = [cue.span.start_ms, *(from_clock(t) for t in parts[1::2])]
    starts = [min(max(s, cue.span.start_ms), cue.span.end_ms) for s in starts]
    ends = [*starts[1:], cue.span.end_ms]
    spans = [TimeSpan(s, max(s, e)) for s, e in zip(starts, ends, strict=True)]
    return [replace(cue, span=s, text=_plain(t)) for s, t in zip(spans, parts[::2], strict=True)]


def _plain(text: str) -> str:
    return " ".join(html.unescape(TAG.sub("", text)).split())


def _stamped_cues(text: str) -> list[Cue]:
    """Lines after a stamp belong to it; a stretch ends where the next begins, or sooner if it is short for that time."""
    found: list[tuple[int, int | None, str]] = []
    for line in text.lstrip("\ufeff").splitlines():
        stamp = STAMPED_LINE.match(line)
        if stamp:
            found.append((from_clock(stamp[1]), from_clock(stamp[2]) if stamp[2] else None, stamp[3].strip()))
        elif found and line.strip():
            start, end, said = found[-1]
            found[-1] = (start, end, f"{said} {line.strip()}")
    cues = []
    for number, (start, end, said) in enumerate(found):
        spoken = start + max(400, MS_PER_CHARACTER * len(said))
        following = next((s for s, _, _ in found[number + 1 :] if s > start), spoken)
        cues.append(Cue(TimeSpan(start, max(start, end if end is not None else min(spoken, following))), said))
    return cues


def _label_speakers(cues: list[Cue]) -> list[Cue]:
    """Takes "A: ..." for a speaker where the label is one letter or comes back at least once ("Note:" alone is no speaker)."""
    seen = Counter(m[1] for m in (LABEL.match(c.text) for c in cues) if m)
    labelled = []
    for cue in cues:
        label = LABEL.match(cue.text)
        if cue.speaker is None and label and (len(label[1]) == 1 or seen[label[1]] > 1):
            cue = replace(cue, speaker=label[1], text=cue.text[label.end() :])
        labelled.append(cue)
    return labelled
