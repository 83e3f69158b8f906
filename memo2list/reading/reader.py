"""The stages of reading, joined: passages, what is in them, exchanges, places, findings, measures."""

from memo2list.reading.candidates import Talk
from memo2list.reading.exchanges import read_exchanges
from memo2list.reading.findings import make_findings
from memo2list.reading.implied import with_implied
from memo2list.reading.measures import measures_of
from memo2list.reading.measuring import measured
from memo2list.reading.passages import split
from memo2list.reading.places import read_places
from memo2list.reading.places_said import places_said
from memo2list.reading.scene import look
from memo2list.reading.steering import Steering, steer, steered, told_places
from memo2list.records import Flag, Reading, Transcript
from memo2list.vocabulary.entries import Matcher


def read(transcript: Transcript, lexicon: Matcher) -> Reading:
    """Everything the quick reader understood; a pure function of its arguments, linear in the words."""
    steering = steer(transcript)
    return steered(reading_of(look_over(transcript, lexicon, steering)), transcript, steering)


def reading_of(talk: Talk) -> Reading:
    """The reading of a transcript that has been looked over."""
    findings = measured(talk, make_findings(talk))
    return Reading(
        talk.transcript,
        tuple(stage.passage for stage in talk.stages),
        tuple(known.mention for stage in talk.stages for known in stage.known),
        tuple(cue.cue for stage in talk.stages for cue in stage.cues),
        findings,
        whole_flags(talk.transcript),
        measures_of(talk.transcript, talk.stages, talk.exchanges),
        places_said(talk.transcript, talk.stages, talk.places, talk.exchanges),
    )


def look_over(transcript: Transcript, lexicon: Matcher, steering: Steering | None = None) -> Talk:
    """The talk, what was said to the list blanked; `steering` if it is known already."""
    steering = steering or steer(transcript)
    heard = steering.heard
    stages = tuple(look(heard, passage, lexicon) for passage in split(heard))
    exchanges = read_exchanges(heard, stages)
    stages = with_implied(heard, stages, exchanges, lexicon)
    places = read_places(stages, told_places(stages, steering.places))
    return Talk(heard, stages, exchanges, places, lexicon, steering.nexts)


def whole_flags(transcript: Transcript) -> tuple[Flag, ...]:
    return () if transcript.words else (Flag("no-words", "no words were heard in this recording"),)
