"""Candidates: which element a problem or action may belong to, with named features of each pairing.

Every problem or action is paired with the elements of its passage, the elements said last before it ("it", "these",
also across turns), and the first one said right after. The features are facts a person could check; judging.py weighs them.
"""

import bisect
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from memo2list.reading.assertions import PlacedCue, cues_on
from memo2list.reading.exchanges import Exchange
from memo2list.reading.mentions import TRUST, Known, is_deed
from memo2list.reading.places import PlaceNotes
from memo2list.reading.scene import Stage
from memo2list.reading.wordings import choice_words, claim_words
from memo2list.reading.words import ends_clause, ends_sentence
from memo2list.records import Mention, Transcript, WordRange
from memo2list.vocabulary.entries import Entry, Matcher

LOOK_BACK = 7  # passages
LOOK_BACK_WORDS = 110
BACK_ELEMENTS = 4  # elements before the passage, the last said first
PRONOUNS = frozenset("it it's it'll it'd this that that's these those they they're them one ones he she him his its".split())
RELATING = frozenset("of in on at under behind along around round from to into through over by inside above below".split())
INTENT = frozenset("i'll we'll let's gonna i'd we'd going want wants need needs should must has have wanna needing".split())
PAST = frozenset("was were had did used ago last replaced already".split())
GENERAL = frozenset(
    "always never every everybody people you you'd you'll they usually most some folks anyone never whenever".split()
)
CATEGORIES = (
    "negation", "hedge", "condition", "general", "elsewhere", "done", "by-others", "declined", "taken-back", "question",
    "yes", "no", "wish",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Talk:
    """A whole transcript, looked at passage by passage."""

    transcript: Transcript
    stages: tuple[Stage, ...]
    exchanges: tuple[Exchange, ...]
    places: tuple[PlaceNotes, ...]
    lexicon: Matcher
    nexts: tuple[int, ...] = ()  # words before which "next item" was said: nothing is looked for beyond one

    def cut_between(self, a: Stage, b: Stage) -> bool:
        """True if "next item" was said between two passages."""
        low, high = sorted((a.words.first, b.words.first))
        return bisect.bisect_right(self.nexts, low) != bisect.bisect_right(self.nexts, high)


@dataclass(frozen=True, slots=True)
class Candidate:
    """A problem or action with an element it may belong to."""

    claim: Known  # the problem or action
    stage: int
    element: Known
    element_stage: int
    cues: tuple[PlacedCue, ...]  # those that reach the claim
    features: Mapping[str, float]
    claim_words: tuple[str, ...] = ()  # named facts about the claim, the same for all its candidates
    choice_words: tuple[str, ...] = ()  # named facts about the two together

    @property
    def words(self) -> WordRange:
        return self.claim.words


def candidates(talk: Talk) -> Iterator[tuple[Candidate, ...]]:
    """For each problem or action in order, its candidates (none where no element is near)."""
    for stage in talk.stages:
        claims = stage.claims
        for claim in claims:
            reaching = cues_on(talk.transcript, stage.cues, claim.words)
            common = claim_features(talk, stage, claim, reaching)
            told = claim_words(talk.stages, stage, claim, reaching)
            yield tuple(
                candidate(talk, stage, claim, element, at, rank, reaching, common, told)
                for rank, (element, at) in enumerate(near_elements(talk, stage, claim))
            )


def candidate(
    talk: Talk,
    stage: Stage,
    claim: Known,
    element: Known,
    at: int,
    rank: int,
    reaching: tuple[PlacedCue, ...],
    common: Mapping[str, float],
    told: tuple[str, ...],
) -> Candidate:
    between = between_words(element.words, claim.words)
    texts = [w.text for w in talk.transcript.words[between.first : between.stop]]
    features = {**common, **pair_features(talk, stage, claim, element, at, rank, between, texts)}
    first = element.words.first < claim.words.first
    choice = choice_words(stage, claim, talk.stages[at], element, texts, first)
    return Candidate(claim, stage.number, element, at, reaching, features, told, choice)


def near_elements(talk: Talk, stage: Stage, claim: Known) -> list[tuple[Known, int]]:
    """Elements a claim may be about, nearest kind first, each with the number of its passage."""
    own = [(e, stage.number) for e in stage.elements if not any(e.words.overlaps(p) for p in claim.pieces)]
    own.sort(key=lambda pair: gap(pair[0].words, claim.words))
    named = named_by_claim(claim, talk.lexicon)
    found = [*([(named, stage.number)] if named else []), *own, *elements_before(talk, stage)]
    later = elements_after(talk, stage) if not own else []
    return [*found, *later]


def named_by_claim(claim: Known, lexicon: Matcher) -> Known | None:
    """A problem that names its element itself ("nail pop")."""
    entry = lexicon.entry("element", claim.entry.element) if claim.entry.element else None
    if entry is None:
        return None
    return Known(Mention("element", entry.name, claim.words, "description", 0.9, entry.name), entry, claim.pieces)


def elements_before(talk: Talk, stage: Stage) -> list[tuple[Known, int]]:
    found: list[tuple[Known, int]] = []
    seen: set[str] = set()
    for number in range(stage.number - 1, max(-1, stage.number - 1 - LOOK_BACK), -1):
        earlier = talk.stages[number]
        if stage.words.first - earlier.words.stop > LOOK_BACK_WORDS or talk.cut_between(earlier, stage):
            break
        for element in reversed(earlier.elements):
            if element.mention.how == "unlisted" and number < stage.number - 1:
                continue
            if element.name not in seen and len(found) < BACK_ELEMENTS:
                seen.add(element.name)
                found.append((element, number))
    return found


def elements_after(talk: Talk, stage: Stage) -> list[tuple[Known, int]]:
    if stage.number + 1 >= len(talk.stages) or talk.cut_between(stage, talk.stages[stage.number + 1]):
        return []
    return [(e, stage.number + 1) for e in talk.stages[stage.number + 1].elements[:1]]


def gap(a: WordRange, b: WordRange) -> int:
    return max(0, a.first - b.stop, b.first - a.stop)


def claim_features(talk: Talk, stage: Stage, claim: Known, reaching: Sequence[PlacedCue]) -> dict[str, float]:
    """What can be said of the problem or action by itself."""
    at = claim.words.first - stage.words.first
    before = set(stage.said[max(0, at - 6) : at])
    exchange = talk.exchanges[stage.number]
    here = {c.category for c in reaching}
    around = stage.cue_categories()
    features = {
        "action": claim.kind == "action",
        "verify": claim.entry.sense == "verify",
        "claim_how": TRUST[claim.mention.how],
        "claim_words": len(claim.words),
        "claim_safety": claim.entry.safety,
        "passage_words": len(stage.said),
        "claim_at": at,
        "claim_left": len(stage.said) - at - len(claim.words),
        "deed": {True: 1, False: -1, None: 0}[is_deed(stage.said, at, at + len(claim.words))],
        "intent": bool(INTENT & before),
        "past": bool(PAST & before),
        "general_word": bool(GENERAL & set(stage.said[:at])),
        "pronoun_before": bool(PRONOUNS & before),
        "claims_here": len(stage.claims),
        "problems_here": len(stage.of_kind("problem")),
        "claim_unlisted": claim.mention.how == "unlisted",
        "elements_here": sum(e.mention.how != "unlisted" for e in stage.elements),
        "measured": len(stage.quantities) + len(stage.sizes),
        "asks": exchange.asks,
        "open_question": exchange.open_question,
        "where_in_talk": stage.words.first / max(1, len(talk.transcript.words)),
        "fact_turn_words": len(talk.transcript.turn_at(stage.words.first).words),
        "solo": len({t.speaker for t in talk.transcript.turns[:20]}) == 1,
    }
    for category in CATEGORIES:
        features[f"cue_{category}"] = (category in here) + (category in around)
    return {k: float(v) for k, v in (features | exchange_features(talk, stage)).items()}


def exchange_features(talk: Talk, stage: Stage) -> dict[str, float]:
    """How the talk takes the passage, and how it takes what was asked just before."""
    exchange = talk.exchanges[stage.number]
    features: dict[str, float] = {}
    for category in ("yes", "no", "declined", "taken-back", "done", "by-others", "negation"):
        features[f"reply_{category}"] = category in exchange.replies
        features[f"own_next_{category}"] = category in exchange.own_next
    previous = talk.stages[stage.number - 1] if stage.number else None
    features["answers"] = bool(previous and talk.exchanges[previous.number].asks and previous.speaker != stage.speaker)
    for category in ("negation", "general", "elsewhere", "done", "by-others", "condition"):
        features[f"previous_{category}"] = bool(previous and category in previous.cue_categories())
    return features


def pair_features(
    talk: Talk, stage: Stage, claim: Known, element: Known, at: int, rank: int, between: WordRange, texts: Sequence[str]
) -> dict[str, float]:
    """What can be said of the two together; `texts` are the words between them."""
    before = element.words.first < claim.words.first
    element_stage = talk.stages[at]
    local = element.words.first - element_stage.words.first
    lead = element_stage.said[local - 1] if local else ""
    features = {
        "rank": rank,
        "same_passage": at == stage.number,
        "passages_apart": stage.number - at,
        "words_apart": min(99, len(between)),
        "element_first": before,
        "same_speaker": element_stage.speaker == stage.speaker,
        "clause_ends_between": min(9, sum(map(ends_clause, texts))),
        "sentence_ends_between": min(9, sum(map(ends_sentence, texts))),
        "elements_between": elements_between(talk, between, at, stage.number, element),
        "claims_between": claims_between(talk, between, at, stage.number),
        "relating": bool(texts) and texts[0].lower().strip(",.") in RELATING,
        "fit": fit(claim.entry, element.entry),
        "element_how": TRUST[element.mention.how],
        "element_words": len(element.words),
        "element_unlisted": element.mention.how == "unlisted",
        "element_led_by_relating": lead in RELATING or (local > 1 and element_stage.said[local - 2] in RELATING),
        "element_led_by_no": lead in ("no", "any"),
        "element_led_by_new": "new" in element_stage.said[max(0, local - 3) : local],
        "element_pointed": lead in ("this", "that", "these", "those"),
        "element_also_deed": any(k.words == element.words for k in element_stage.of_kind("action", "material", "problem")),
        "element_is_place": any(k.words.overlaps(element.words) for k in element_stage.of_kind("place")),
        "element_asked": talk.exchanges[at].asks,
        "next_element_same_list": coordinated(element_stage, element),
        "named_by_claim": element.words == claim.words,
    }
    return {k: float(v) for k, v in features.items()}


def between_words(a: WordRange, b: WordRange) -> WordRange:
    """The words between two stretches, none if they overlap."""
    first, second = sorted((a, b))
    return WordRange(first.stop, second.first) if first.stop <= second.first else WordRange(second.first, second.first)


def elements_between(talk: Talk, between: WordRange, start: int, stop: int, own: Known) -> int:
    low, high = min(start, stop), max(start, stop)
    return min(
        9,
        sum(1 for s in talk.stages[low : high + 1] for e in s.elements if e.words.overlaps(between) and e.name != own.name),
    )


def claims_between(talk: Talk, between: WordRange, start: int, stop: int) -> int:
    low, high = min(start, stop), max(start, stop)
    return min(9, sum(1 for s in talk.stages[low : high + 1] for c in s.claims if c.words.overlaps(between)))


def coordinated(stage: Stage, element: Known) -> bool:
    """The element stands in a list: "door, casing and threshold"."""
    others = [e for e in stage.elements if e is not element]
    return any(gap(e.words, element.words) <= 2 for e in others)


def fit(claim: Entry, element: Entry) -> float:
    """1 where the lexicon says that they belong together, -1 where it says otherwise, 0 where it says nothing."""
    if claim.element:
        return 2.0 if claim.element == element.name else -1.0
    if not claim.fits:
        return 0.0
    return 1.0 if {element.name, element.kind_of, element.part_of, element.pack} & set(claim.fits) else -1.0


def with_features(candidate: Candidate, **more: float) -> Candidate:
    return replace(candidate, features={**candidate.features, **more})
