"""Findings: the element each problem or action belongs to, its status, and why.

For every claim (a problem or action) the candidates are weighed; the best is taken, and others of the same list
("door, casing and threshold all need paint") with it. What is not likely enough is kept too, with the reason, so
that it can be shown as set aside.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from memo2list.judging import Judge, load_judge
from memo2list.reading.afterthoughts import afterthought
from memo2list.reading.assertions import PlacedCue, decide
from memo2list.reading.candidates import Candidate, Talk, candidates, coordinated, gap
from memo2list.reading.mentions import Known
from memo2list.reading.places import place_of
from memo2list.reading.sums import worded
from memo2list.records import LISTED, Assertion, Finding, Flag, Mention, Part, Place, Status, WordRange

LIKELY = 0.08  # chance from which a claim goes on to listing, which decides about whole items
DESPITE = 0.5  # the same where a cue speaks against it
FINAL = frozenset({"taken back", "declined", "by others", "done"})  # of findings with these, one in four was right: set aside
CLOSE = 0.12  # two elements whose chances differ by less than this are both named in a flag
DANGER = frozenset(
    "dangerous danger unsafe safety hazard hurt injured injury kill killed lethal shock shocked electrocuted fire asbestos "
    "lead gas code legal illegal regulation regulations trip tripped tripping fall falls falling fell slip slipped kid kids "
    "toddler somebody's someone's".split()
)
WORTH = 20  # words by which a certain finding may stand further from a measure than a hopeless one
SAME_TURN = 3  # passages before, of one turn, whose places may be meant
SHOWN = 0.03  # weaker claims are not even set aside


@dataclass(frozen=True, slots=True)
class Weighed:
    candidate: Candidate
    chance: float


def make_findings(talk: Talk) -> tuple[Finding, ...]:
    judge = load_judge("pairs")
    options = worded(list(candidates(talk)))
    taken = [(w, group) for group in weigh(judge, options) for w in chosen(talk, group)]
    reasons = judge.reasons([w.candidate.features for w, _ in taken]) if judge else [()] * len(taken)
    return tuple(finding(talk, w, group, why) for (w, group), why in zip(taken, reasons, strict=True))


def weigh(judge: Judge | None, options: Sequence[Sequence[Candidate]]) -> list[list[Weighed]]:
    """The candidates of each claim, the likeliest first."""
    flat = [c for group in options for c in group]
    chances = judge.chances([c.features for c in flat]) if judge else [rule_of_thumb(c.features) for c in flat]
    rest = iter(zip(flat, chances, strict=True))
    groups = [[Weighed(*next(rest)) for _ in group] for group in options]
    return [sorted(group, key=lambda w: -w.chance) for group in groups]


def rule_of_thumb(features: Mapping[str, float]) -> float:
    """A chance by plain rules, for when nothing has been fitted."""
    score = 1.2 - 0.12 * features["words_apart"] - 0.5 * features["elements_between"] - 0.4 * features["clause_ends_between"]
    score += 0.8 * features["same_passage"] + 0.8 * features["fit"] - 0.3 * features["rank"]
    against = ("negation", "general", "elsewhere", "done", "by-others", "declined", "taken-back")
    score -= 1.5 * sum(features[f"cue_{name}"] > 0 for name in against)
    return 1 / (1 + math.exp(-score))


def chosen(talk: Talk, weighed: Sequence[Weighed]) -> list[Weighed]:
    """The best candidate, and others said in the same list that are likely too."""
    if not weighed or weighed[0].chance < SHOWN:
        return []
    best = weighed[0]
    return [best, *(w for w in weighed[1:] if w.chance >= LIKELY and same_list(talk, best.candidate, w.candidate))]


def same_list(talk: Talk, a: Candidate, b: Candidate) -> bool:
    if a.element_stage != b.element_stage or a.element.name == b.element.name:
        return False
    stage = talk.stages[a.element_stage]
    return coordinated(stage, a.element) and coordinated(stage, b.element)


def finding(talk: Talk, weighed: Weighed, rivals: Sequence[Weighed], why: Sequence[str]) -> Finding:
    candidate = weighed.candidate
    stage = talk.stages[candidate.stage]
    assertion = afterthought(talk, candidate) or status_of(candidate, weighed.chance)
    place = where(talk, candidate)
    claim = (candidate.claim.mention,)
    return Finding(
        passage=candidate.stage,
        words=candidate.words,
        element=heard_element(talk, candidate),
        problems=claim if candidate.claim.kind == "problem" else (),
        actions=claim if candidate.claim.kind == "action" else (),
        assertion=assertion,
        place=place,
        materials=(),
        speaker=stage.speaker,
        evidence=evidence(talk, candidate),
        flags=tuple(flags(weighed, rivals)),
        parts=parts(weighed, place),
        safety=is_safety(candidate, stage.said),
        steps=steps(talk, weighed, why, assertion, place),
    )


def status_of(candidate: Candidate, chance: float) -> Assertion:
    """Listed if likely; then the cues say how. If unlikely, the cues say why, or the doubt itself does."""
    by_cues = decide(candidate.cues)
    if answered_no(candidate):
        return Assertion("negated", by_cues.because)
    denial = denied_outright(candidate)
    if denial:
        return Assertion("negated", (denial.cue,))
    if by_cues.status in FINAL:
        return by_cues
    if chance >= (LIKELY if by_cues.status in LISTED else DESPITE):
        return by_cues if by_cues.status in LISTED else Assertion(soft_status(candidate), by_cues.because)
    if by_cues.status in LISTED:
        return Assertion(reason_without_cue(candidate), by_cues.because)
    return by_cues


def answered_no(candidate: Candidate) -> bool:
    """ "Does that window leak?" "No.": a fault asked about and denied, whatever else speaks for it."""
    features = candidate.features
    asked = (
        features["asks"] and not features["open_question"] and candidate.claim.kind == "problem" and not features["cue_negation"]
    )
    asked = asked and candidate.claim.mention.how != "implied"  # its denial is what makes it a fault
    return bool(asked and features["reply_no"] and not features["reply_yes"] and "before supposed" not in candidate.claim_words)


def denied_outright(candidate: Candidate) -> PlacedCue | None:
    """ "No rot here": the denial right before a fault told by name. Of such faults on labelled walks one in eight was right."""
    claim = candidate.claim
    if claim.kind != "problem" or claim.mention.how not in ("exact", "variant"):
        return None
    return next((c for c in candidate.cues if c.category == "negation" and c.words.stop == claim.words.first), None)


def soft_status(candidate: Candidate) -> Status:
    categories = {c.category for c in candidate.cues}
    return "conditional" if "condition" in categories else "possible" if "hedge" in categories else "stated"


def reason_without_cue(candidate: Candidate) -> Status:
    """Why something without a cue of its own is unlikely: how the talk around took it."""
    features = candidate.features
    by_talk: tuple[tuple[str, Status], ...] = (
        ("reply_taken-back", "taken back"), ("own_next_taken-back", "taken back"), ("reply_declined", "declined"),
        ("own_next_declined", "declined"), ("reply_by-others", "by others"), ("own_next_by-others", "by others"),
    )  # fmt: skip
    for name, status in by_talk:
        if features.get(name):
            return status
    if features["asks"] and (features["reply_no"] or features["reply_negation"]):
        return "negated"
    return "question" if features["asks"] else "doubtful"


def heard_element(talk: Talk, candidate: Candidate) -> Mention:
    """The element with the words that name it more closely: "corner pile", "porch ceiling boards"."""
    mention, stage = candidate.element.mention, talk.stages[candidate.element_stage]
    first = mention.words.first
    for known in reversed(stage.known):
        if known.kind in ("element", "material", "place") and known.words.stop == first and known.words.first < first:
            first = known.words.first
    said = " ".join(stage.said[first - stage.words.first : mention.words.stop - stage.words.first])
    return replace(mention, said=said or mention.said) if first < mention.words.first else mention


def where(talk: Talk, candidate: Candidate) -> Place | None:
    """Where the finding is: by its own passage, then by what was said just before in the same turn."""
    place = by_passage(talk, candidate)
    if place is not None and not place.carried:
        return place
    earlier = min(candidate.stage, candidate.element_stage)
    turn = talk.transcript.turn_at(talk.stages[earlier].words.first).words
    for number in range(earlier - 1, max(-1, earlier - 1 - SAME_TURN), -1):
        if talk.stages[number].words.first < turn.first:
            break
        here = [n for n in talk.places[number].named if not n.owned and not n.enters]
        if here:
            name = here[-1].said if place is None else f"{here[-1].said}, {place.name}"
            return Place(name, here[-1].words, carried=True)
    return place


def by_passage(talk: Talk, candidate: Candidate) -> Place | None:
    stage = talk.stages[candidate.stage]
    home = talk.stages[candidate.element_stage]
    element, room = candidate.element.words, candidate.element.entry.room
    if home is stage:
        return place_of(talk.places[stage.number], element.join(candidate.words), stage.words, element, room)
    at_claim = place_of(talk.places[stage.number], candidate.words, stage.words, room=room)
    at_element = place_of(talk.places[home.number], element, home.words, element, room)
    return at_claim if at_claim and not at_claim.carried else at_element or at_claim


def evidence(talk: Talk, candidate: Candidate) -> tuple[WordRange, ...]:
    """The passages to quote: of the claim, of the element, and the reply to a question."""
    ranges = [talk.stages[candidate.stage].words]
    if candidate.element_stage != candidate.stage:
        ranges.append(talk.stages[candidate.element_stage].words)
    exchange = talk.exchanges[candidate.stage]
    if exchange.asks and exchange.answered:
        ranges.append(exchange.answered)
    return tuple(sorted(set(ranges)))


def flags(weighed: Weighed, rivals: Sequence[Weighed]) -> Iterable[Flag]:
    candidate = weighed.candidate
    for known in (candidate.element, candidate.claim):
        if known.mention.how in ("sound-alike", "fuzzy"):
            yield Flag("sounds-like", f'heard "{known.mention.said}", taken as {known.name}')
    if "unlisted" in (candidate.element.mention.how, candidate.claim.mention.how):
        yield Flag("not-in-lexicon", "told by its setting; the lexicon has no word for it")
    if candidate.claim.mention.how == "implied":
        yield Flag(
            "implied", f'"{candidate.claim.name}" was not said of it in words; it is taken from what was said before or asked'
        )
    others = [r for r in rivals if r is not weighed and r.candidate.element.name != candidate.element.name]
    if candidate.element_stage != candidate.stage and others and weighed.chance - others[0].chance < CLOSE:
        yield Flag("element-unclear", f"could be about the {candidate.element.name} or the {others[0].candidate.element.name}")
    if any(c.category == "negation" for c in candidate.cues) and candidate.claim.mention.how != "description":
        yield Flag("negation-near", f'"{next(c.cue.phrase for c in candidate.cues if c.category == "negation")}" stands near it')


def parts(weighed: Weighed, place: Place | None) -> tuple[Part, ...]:
    candidate = weighed.candidate
    apart = candidate.stage - candidate.element_stage
    match = min(candidate.element.mention.score, candidate.claim.mention.score)
    return (
        Part("match", match, f"{candidate.element.mention.how} and {candidate.claim.mention.how}"),
        Part("judgement", round(weighed.chance, 4), "weighed from the features shown in the steps"),
        Part("claim", chance_of_sum(candidate.features.get("claim_sum", 0.0)), "the words around speak of a thing to be listed"),
        Part("choice", chance_of_sum(candidate.features.get("choice_lead", 0.0)), "this element rather than another"),
        Part(
            "pronoun",
            round(max(0.3, 1 - 0.1 * abs(apart)), 2),
            "said in the same passage" if not apart else f"named {apart} passages before",
        ),
        place_part(place),
    )


def chance_of_sum(log_odds: float) -> float:
    return round(1 / (1 + math.exp(-log_odds)), 4)


def place_part(place: Place | None) -> Part:
    if place is None:
        return Part("place", 0.5, "none said")
    return Part("place", 0.8, "carried on") if place.carried else Part("place", 1.0, "named here")


def is_safety(candidate: Candidate, said: Sequence[str]) -> bool:
    """A person can get hurt or a rule is named: the lexicon says so of the fault or the faulty element, or the speaker does."""
    entry, claim = candidate.element.entry, candidate.claim
    return claim.entry.safety or (entry.safety and claim.kind == "problem") or bool(DANGER & set(said))


def steps(talk: Talk, weighed: Weighed, why: Sequence[str], assertion: Assertion, place: Place | None) -> tuple[str, ...]:
    """The chain behind a finding, for `explain`."""
    candidate = weighed.candidate
    stage = talk.stages[candidate.stage]
    lines = [
        f'passage {stage.number}: "{talk.transcript.quote(stage.words)}"',
        told("element", candidate.element, stage.number - candidate.element_stage),
        told(candidate.claim.kind, candidate.claim, 0),
        *(f'cue "{c.cue.phrase}": {c.category}' for c in candidate.cues),
        f"status: {assertion.status}" + (f' because of "{assertion.because[0].phrase}"' if assertion.because else ""),
        f"place: {place.name}{' (carried on)' if place.carried else ''}" if place else "place: none said",
        f"chance: {weighed.chance:.2f}",
    ]
    return (*lines, *(f"weighed: {r}" for r in why))


def told(kind: str, known: Known, apart: int) -> str:
    ago = f", said {apart} passages before" if apart > 0 else ", said right after" if apart < 0 else ""
    return f'{kind}: "{known.mention.said}" is {known.name} ({known.mention.how}{ago})'


def nearest(findings: Sequence[tuple[int, Finding]], words: WordRange) -> tuple[int, Finding] | None:
    """The finding whose element or claim stands nearest to some words; a likelier one may stand further away."""
    return min(findings, key=lambda pair: closeness(pair[1], words) - WORTH * chance_in(pair[1]), default=None)


def chance_in(finding: Finding) -> float:
    return next((p.value for p in finding.parts if p.name == "judgement"), 0.0)


def closeness(finding: Finding, words: WordRange) -> int:
    own = [finding.words, *([finding.element.words] if finding.element else [])]
    return min(gap(w, words) for w in own)
