"""What the very next words do to a claim: "No, scratch that", "No, leave it", "My neighbor's man does that".

Of claims followed so on labelled walkthroughs one in four or fewer was right, whatever else spoke for them.
"""

from memo2list.reading.assertions import PlacedCue
from memo2list.reading.candidates import Candidate, Talk
from memo2list.reading.scene import Stage
from memo2list.records import STATUS_OF, Assertion

OPENING = 5  # words of the next passage in which the cue must begin
BY_SAME = frozenset({"taken-back", "by-others"})
BY_OTHER = frozenset({"declined", "by-others"})


def afterthought(talk: Talk, candidate: Candidate) -> Assertion | None:
    """The status the next passage gives a claim, None if it gives none. Only the last claim said is taken back or declined."""
    stage = talk.stages[candidate.stage]
    following = talk.stages[stage.number + 1] if stage.number + 1 < len(talk.stages) else None
    if following is None:
        return None
    meant = BY_SAME | BY_OTHER if stage.speaker is None else BY_SAME if following.speaker == stage.speaker else BY_OTHER
    last = all(c.words.first <= candidate.words.first for c in stage.claims)
    for placed in opening_cues(following):
        if placed.category in meant and (last or placed.category == "by-others"):
            return Assertion(dict(STATUS_OF)[placed.category], (placed.cue,))
    return None


def opening_cues(stage: Stage) -> list[PlacedCue]:
    return [c for c in stage.cues if c.words.first < stage.words.first + OPENING]
