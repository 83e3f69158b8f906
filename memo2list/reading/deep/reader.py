"""The deep reader, its stages joined: lines, windows, answers, rows held to the words, windows stitched."""

import bisect
from collections.abc import Sequence
from dataclasses import replace

from memo2list.reading.candidates import Talk
from memo2list.reading.deep.grounding import Dropped, ground
from memo2list.reading.deep.lines import Line, lines
from memo2list.reading.deep.model import Answerer, RowText
from memo2list.reading.deep.notation import parse
from memo2list.reading.deep.stitching import stitch
from memo2list.reading.deep.windows import Window, prompt, windows
from memo2list.reading.reader import look_over
from memo2list.reading.steering import steer, steered
from memo2list.records import Finding, Flag, Reading, Transcript
from memo2list.vocabulary.entries import Matcher


def read_deep(transcript: Transcript, lexicon: Matcher, model: Answerer) -> Reading:
    """What the tuned model makes of the talk; its rows only as far as the words carry them."""
    steering = steer(transcript)
    talk = look_over(transcript, lexicon, steering)
    rows = lines(steering.heard)
    asked = windows_with_places(rows, talk)
    answers = model.answer([prompt(rows, w) for w in asked]) if rows else []
    return steered(reading_of(talk, rows, asked, answers), transcript, steering)


def windows_with_places(rows: Sequence[Line], talk: Talk) -> tuple[Window, ...]:
    """The windows, each with the place in force where it starts."""
    return tuple(replace(w, place=place_at(talk, rows[w.start].words.first)) for w in windows(rows)) if rows else ()


def place_at(talk: Talk, word: int) -> str:
    for stage, notes in zip(talk.stages, talk.places, strict=True):
        if stage.words.first <= word < stage.words.stop:
            return notes.before.name
    return ""


def reading_of(talk: Talk, rows: Sequence[Line], asked: Sequence[Window], answers: Sequence[tuple[RowText, ...]]) -> Reading:
    found: list[Finding] = []
    dropped: list[Dropped] = []
    for window, answer in zip(asked, answers, strict=True):
        for grounded in ground_answer(window, answer, rows, talk):
            if isinstance(grounded, Dropped):
                dropped.append(grounded)
            else:
                found.append(replace(grounded, nexts=bisect.bisect_right(talk.nexts, grounded.words.first)))
    return Reading(
        talk.transcript,
        tuple(stage.passage for stage in talk.stages),
        tuple(known.mention for stage in talk.stages for known in stage.known),
        tuple(cue.cue for stage in talk.stages for cue in stage.cues),
        stitch(found),
        tuple(Flag("deep-row-dropped", f'the deep reader wrote "{d.text}", which {d.why}') for d in dropped),
    )


def ground_answer(window: Window, answer: Sequence[RowText], rows: Sequence[Line], talk: Talk) -> list[Finding | Dropped]:
    """Rows in order; "=" repeats the place of the row before, so an answer is parsed as a whole."""
    out: list[Finding | Dropped] = []
    place = ""
    for made in answer:
        parsed, bad = parse(made.text)
        out += [Dropped(text, "does not have the form of a row") for text in bad]
        for row in parsed:
            row = replace(row, place=place) if "|=" in made.text and not row.place else row
            place = row.place
            out.append(ground(row, made, window, rows, talk))
    return out
