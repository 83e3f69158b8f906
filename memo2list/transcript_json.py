"""A transcript as JSON text and back, without loss: what the store keeps and what `hear` accepts as a file."""

import json
from typing import Any

from memo2list.errors import InputError
from memo2list.records import Flag, Recording, StretchFlag, Transcript, Turn, Word, WordRange
from memo2list.timing import TimeSpan

FORMAT = "memo2list/transcript"
VERSION = 1


def transcript_to_json(transcript: Transcript) -> str:
    """The whole transcript as JSON text, times in whole milliseconds; `transcript_from_json` gives it back equal."""
    recording = transcript.recording
    document = {
        "format": FORMAT,
        "version": VERSION,
        "recording": {
            "name": recording.name,
            "sha256": recording.sha256,
            "duration_ms": recording.duration_ms,
            "recogniser": recording.recogniser,
            "kind": recording.kind,
        },
        "words": [word_to_dict(w) for w in transcript.words],
        "turns": [{"first": t.words.first, "stop": t.words.stop, "speaker": t.speaker} for t in transcript.turns],
        "doubts": [_doubt_to_dict(d) for d in transcript.doubts],
    }
    return json.dumps(document, ensure_ascii=False)


def transcript_from_json(text: str, where: str = "transcript") -> Transcript:
    """The transcript written by `transcript_to_json`; InputError naming `where` if it is none."""
    try:
        document = json.loads(text)
    except ValueError as error:
        raise InputError(where, f"is not JSON ({error}).", "Hand in a transcript that memo2list wrote.") from None
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        raise InputError(where, f'is JSON, but no transcript: it lacks "format": "{FORMAT}".', "Use WebVTT, SRT or stamped text.")
    if document.get("version") != VERSION:
        raise InputError(where, f"is a transcript of version {document.get('version')!r}.", "This memo2list reads version 1.")
    try:
        return _from_document(document)
    except (KeyError, TypeError, ValueError) as error:
        raise InputError(
            where, f"is a damaged transcript ({type(error).__name__}: {error}).", "Hear the recording again."
        ) from None


def word_to_dict(word: Word) -> dict[str, Any]:
    return {"text": word.text, "start_ms": word.span.start_ms, "end_ms": word.span.end_ms, "probability": word.probability}


def word_from_dict(word: dict[str, Any]) -> Word:
    return Word(str(word["text"]), TimeSpan(int(word["start_ms"]), int(word["end_ms"])), float(word.get("probability", 1.0)))


def _doubt_to_dict(doubt: StretchFlag) -> dict[str, Any]:
    return {
        "first": doubt.words.first,
        "stop": doubt.words.stop,
        "code": doubt.flag.code,
        "reason": doubt.flag.reason,
        "other": doubt.other,
    }


def _from_document(document: dict[str, Any]) -> Transcript:
    recording = document["recording"]
    return Transcript(
        recording=Recording(
            name=str(recording["name"]),
            sha256=str(recording["sha256"]),
            duration_ms=int(recording["duration_ms"]),
            recogniser=str(recording.get("recogniser", "")),
            kind=recording.get("kind", "sound"),
        ),
        words=tuple(word_from_dict(w) for w in document["words"]),
        turns=tuple(Turn(WordRange(t["first"], t["stop"]), t.get("speaker")) for t in document["turns"]),
        doubts=tuple(
            StretchFlag(WordRange(d["first"], d["stop"]), Flag(d["code"], d["reason"]), d.get("other", ""))
            for d in document.get("doubts", ())
        ),
    )
