"""Labelled walkthroughs as transcripts and answers, for the benchmarks; nothing here is needed by the package."""

import json
import pathlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from memo2list.records import PunchList, Recording, Transcript, Turn, Word, WordRange
from memo2list.timing import TimeSpan, from_seconds, to_seconds

WORDS_PER_SECOND = 2.7


@dataclass(frozen=True)
class Walk:
    """One labelled walkthrough; `name` is unique."""

    name: str
    answers: dict[str, Any]

    @property
    def solo(self) -> bool:
        return len({t["speaker"] for t in self.answers["turns"]}) == 1


def load(paths: Sequence[pathlib.Path]) -> list[Walk]:
    """Walks of files and folders; a file with {"scenes": […]} gives one for each scene."""
    walks: list[Walk] = []
    for path in sorted(files(paths)):
        held = json.loads(path.read_text(encoding="utf-8"))
        if "scenes" in held:
            walks += [Walk(f"{path.stem}/{scene['id']}", scene) for scene in held["scenes"]]
        elif "turns" in held:
            walks.append(Walk(path.stem, held))
    return walks


def files(paths: Sequence[pathlib.Path]) -> Iterator[pathlib.Path]:
    for path in paths:
        if path.is_dir():
            yield from (p for p in path.glob("*.json") if not p.name.endswith(".times.json"))
        else:
            yield path


def spans(answers: dict[str, Any]) -> dict[int, tuple[float, float]]:
    """Start and end of each turn in seconds at an even speaking rate."""
    now, out = 0.0, {}
    for turn in answers["turns"]:
        now += float(turn.get("pause", 0.3))
        end = now + max(0.4, len(turn["text"].split()) / WORDS_PER_SECOND)
        out[turn["n"]] = (round(now, 3), round(end, 3))
        now = end
    return out


def transcript(walk: Walk) -> Transcript:
    """The walkthrough as given text: turns with speakers, words evenly spread over their turn."""
    words: list[Word] = []
    turns: list[Turn] = []
    when = spans(walk.answers)
    for turn in walk.answers["turns"]:
        said = turn["text"].split()
        start, end = when[turn["n"]]
        step = (end - start) / max(1, len(said))
        first = len(words)
        for n, text in enumerate(said):
            words.append(Word(text, TimeSpan(from_seconds(start + n * step), from_seconds(start + (n + 1) * step))))
        if said:
            turns.append(Turn(WordRange(first, len(words)), turn["speaker"]))
    end_ms = words[-1].span.end_ms if words else 0
    return Transcript(Recording(f"{walk.name}.vtt", walk.name, end_ms, "", "transcript"), tuple(words), tuple(turns))


def as_scored(punch_list: PunchList) -> list[dict[str, Any]]:
    """Items in the shape the scorer reads."""
    return [
        {
            "element": i.element,
            "heard": list(i.heard),
            "issues": list(i.issues),
            "actions": list(i.actions),
            "location": i.location,
            "certainty": i.certainty,
            "safety": i.safety,
            "confidence": i.confidence,
            "quantities": [
                {"value": list(q.value) if isinstance(q.value, tuple) else q.value, "unit": q.unit} for q in i.quantities
            ],
            "quotes": [
                {"start": to_seconds(q.span.start_ms), "end": to_seconds(q.span.end_ms), "text": q.text} for q in i.quotes
            ],
        }
        for i in punch_list.items
    ]
