"""Exchanges: a question and its answer, an offer and its acceptance, a request and its refusal, a correction.

For each passage this says whether it asks, and how the talk that follows takes it. The answer is looked for in
the next few passages, by the other speaker where speakers are known.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from memo2list.reading.scene import Stage
from memo2list.records import Transcript, WordRange

WH_WORDS = frozenset({"what", "where", "when", "who", "why", "how", "which", "what's", "where's", "how's"})
ASKING = frozenset(
    "is are was were do does did can could would will should shall has have any isn't doesn't won't can't couldn't "
    "didn't aren't".split()
)
LOOK_AHEAD = 3  # passages
OPENING = 4  # words of a reply in which yes or no is looked for
REPLIES = ("yes", "no", "declined", "taken-back", "wish")


@dataclass(frozen=True, slots=True)
class Exchange:
    """How the talk takes a passage."""

    asks: bool = False
    open_question: bool = False  # what, where, how: no yes or no is expected
    replies: frozenset[str] = frozenset()  # cue categories that open the reply by the other speaker
    own_next: frozenset[str] = frozenset()  # cue categories of what the same speaker says next
    answered: WordRange | None = None  # the words of the reply


def read_exchanges(transcript: Transcript, stages: Sequence[Stage]) -> tuple[Exchange, ...]:
    return tuple(exchange_of(transcript, stages, number) for number in range(len(stages)))


def exchange_of(transcript: Transcript, stages: Sequence[Stage], number: int) -> Exchange:
    stage = stages[number]
    asks = is_question(transcript, stage)
    reply = first_reply(stages, number, asks)
    following = stages[number + 1] if number + 1 < len(stages) and stages[number + 1].speaker == stage.speaker else None
    return Exchange(
        asks,
        asks and bool(stage.said) and stage.said[0] in WH_WORDS,
        opening_cues(reply) if reply else frozenset(),
        following.cue_categories() if following else frozenset(),
        reply.words if reply else None,
    )


def is_question(transcript: Transcript, stage: Stage) -> bool:
    if not len(stage.words):
        return False
    return transcript.words[stage.words.stop - 1].text.rstrip("\"'”’").endswith("?") or (
        stage.said[0] in ASKING
        and len(stage.said) > 2
        and stage.said[1] in ("there", "it", "that", "this", "you", "we", "they", "the", "these")
    )


def first_reply(stages: Sequence[Stage], number: int, asks: bool) -> Stage | None:
    """The first passage of the other speaker soon after; where nobody knows who speaks, the passage after a question."""
    for later in stages[number + 1 : number + 1 + LOOK_AHEAD]:
        if later.speaker != stages[number].speaker or (asks and later.speaker is None):
            return later
    return None


def opening_cues(stage: Stage) -> frozenset[str]:
    start = stage.words.first
    opening = {c.category for c in stage.cues if c.words.first < start + OPENING}
    return frozenset(opening | {c.category for c in stage.cues if c.category in ("declined", "taken-back", "by-others", "done")})
