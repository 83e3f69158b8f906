"""The words around a claim and between it and an element, as named facts for the fitted weights "claims" and "choices".

Each fact is a name that is either there or not ("before: will", "rot with fascia"). Far more of them are looked at than
the trees could weigh, so they are added up first (judging.Weights) and the trees see the sums.
"""

from collections.abc import Iterator, Sequence

from memo2list.reading.assertions import PlacedCue
from memo2list.reading.mentions import Known
from memo2list.reading.scene import Stage
from memo2list.reading.words import ends_clause, ends_sentence

FOLLOWING = 4  # passages after a claim whose openings tell how it was taken
OPENING = 6  # words of them that are looked at
NEARBY = 3  # words before and after a claim whose distance is told
BETWEEN = 6  # words between element and claim that are told one by one


def claim_words(stages: Sequence[Stage], stage: Stage, claim: Known, reaching: Sequence[PlacedCue]) -> tuple[str, ...]:
    """Facts that tell whether a problem or action belongs on the list at all."""
    name = f"{claim.kind} {claim.name}"
    told = [name, f"{claim.kind} {claim.mention.how}", f"{claim.kind} pack {claim.entry.pack}", f"said {claim.mention.said}"]
    told += [f"{claim.kind} {c.category}" for c in reaching] + [f"cue {c.cue.phrase}" for c in reaching]
    told += [f"somewhere {c.category}" for c in stage.cues]
    told += around(stage, claim)
    told += opening("opens", stage.said)
    told += after(stages, stage)
    told += ahead_of(stages, stage)
    return tuple(dict.fromkeys(told))


def around(stage: Stage, claim: Known) -> Iterator[str]:
    """Words of the passage by their side of the claim, the nearest ones with their distance."""
    at, end = claim.words.first - stage.words.first, claim.words.stop - stage.words.first
    said = stage.said
    for n in range(max(0, at - 12), at):
        yield f"before {said[n]}"
        if at - n <= NEARBY:
            yield f"before {at - n} {said[n]}"
    for n in range(end, min(len(said), end + 12)):
        yield f"after {said[n]}"
        if n - end < NEARBY:
            yield f"after {n - end + 1} {said[n]}"
    yield f"before {' '.join(said[max(0, at - 2) : at]) or 'nothing'}"
    yield f"after {' '.join(said[end : end + 2]) or 'nothing'}"
    yield f"{claim.kind} {claim.name} after {' '.join(said[max(0, at - 1) : at]) or 'nothing'}"


def opening(label: str, said: Sequence[str]) -> Iterator[str]:
    yield f"{label} {' '.join(said[:1])}"
    yield f"{label} {' '.join(said[:2])}"
    yield f"{label} {' '.join(said[:3])}"


def after(stages: Sequence[Stage], stage: Stage) -> Iterator[str]:
    """How the talk goes on: openings and cues of the next passages, by whether the same person speaks."""
    for later in stages[stage.number + 1 : stage.number + 1 + FOLLOWING]:
        whose = "own" if later.speaker == stage.speaker else "reply"
        ahead = min(2, later.number - stage.number)
        yield from (f"{whose} {w}" for w in later.said[:OPENING])
        yield from opening(f"{whose} {ahead} opens", later.said)
        yield from (f"{whose} {ahead} {c.category}" for c in later.cues)


def ahead_of(stages: Sequence[Stage], stage: Stage) -> Iterator[str]:
    """What was said just before: openings, cues and the end of the last two passages."""
    for earlier in stages[max(0, stage.number - 2) : stage.number]:
        whose = "own" if earlier.speaker == stage.speaker else "other"
        back = stage.number - earlier.number
        yield from opening(f"{whose} {back} opened", earlier.said[:3])
        yield from (f"{whose} {back} earlier {c.category}" for c in earlier.cues)
        yield f"{whose} {back} ended {' '.join(earlier.said[-2:])}"


def choice_words(stage: Stage, claim: Known, home: Stage, element: Known, between: Sequence[str], first: bool) -> tuple[str, ...]:
    """Facts that tell whether this element is the one a claim is about; `between` are the texts that part them."""
    claimed, names = claim.name, {element.name, element.name.split()[-1]}
    where = "here" if stage is home else "before" if home.number < stage.number else "later"
    local = element.words.first - home.words.first
    end = element.words.stop - home.words.first
    side = "first" if first else "second"
    told = [f"{claimed} with {n}" for n in names]
    told += [f"{claimed} with kind {element.entry.kind_of}", f"{claimed} with pack {element.entry.pack}"]
    told += [f"{claim.entry.pack} with {element.entry.pack}", f"{claim.kind} on {element.name}", f"on {element.name} {where}"]
    told += [f"{claim.kind} on pack {element.entry.pack}", f"{claim.mention.how} on {element.mention.how} {where}"]
    told += [f"led by {' '.join(home.said[max(0, local - n) : local])} {where}" for n in (1, 2)]
    told += [f"followed by {' '.join(home.said[end : end + n])} {where} {side}" for n in (1, 2)]
    if where == "here":
        told += parted(claim, between, side)
    else:
        told += opening(f"{where} {claim.kind} opens", stage.said[:2])
    return tuple(dict.fromkeys(told))


def parted(claim: Known, between: Sequence[str], side: str) -> Iterator[str]:
    said = [t.lower().strip(".,;:?!") for t in between]
    yield f"{claim.kind} {side} {min(len(said), 12)} apart"
    yield f"{claim.kind} {side} {sum(map(ends_clause, between))} clauses {sum(map(ends_sentence, between))} sentences"
    if len(said) <= BETWEEN:
        yield f"{claim.kind} {side} parted by {' '.join(said)}"
    for word in said[:BETWEEN]:
        yield f"{side} between {word}"
