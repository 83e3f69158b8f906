"""One number for an item: how likely it belongs on the list, weighed by the fitted judge "items" from named features.

The number is calibrated: of the items at 0.9 about nine in ten are right (tests/benchmarks/reading.py --calibration).
"""

from collections.abc import Mapping, Sequence

from memo2list.judging import Judge
from memo2list.listing.similarity import judgement, said_words
from memo2list.records import Finding, Part, Transcript

AGAINST = ("negation", "general", "elsewhere", "done", "by-others", "declined", "taken-back", "condition", "hedge")


def item_features(findings: Sequence[Finding]) -> Mapping[str, float]:
    """What can be said of a whole item."""
    chances = sorted((judgement(f) for f in findings), reverse=True)
    problems, actions = [m for f in findings for m in f.problems], [m for f in findings for m in f.actions]
    features = {
        "findings": len(findings),
        "best": chances[0],
        "second": chances[1] if len(chances) > 1 else 0.0,
        "together": agreement(findings),
        "sum": sum(chances),
        "problems": len({m.entry for m in problems}),
        "actions": len({m.entry for m in actions}),
        "best_problem": max((judgement(f) for f in findings if f.problems), default=0.0),
        "best_action": max((judgement(f) for f in findings if f.actions), default=0.0),
        "passages": len({f.passage for f in findings}),
        "speakers": len({f.speaker for f in findings}),
        "unlisted_element": all(f.element is None or f.element.how == "unlisted" for f in findings),
        "unlisted_claims": sum(m.how == "unlisted" for m in (*problems, *actions)),
        "implied_claims": sum(m.how == "implied" for m in (*problems, *actions)),
        "described": sum(m.how == "description" for m in (*problems, *actions)),
        "sound_alike": sum(m.how in ("sound-alike", "fuzzy") for m in (*problems, *actions)),
        "elements": len({f.element.entry for f in findings if f.element}),
        "element_words": max((len(said_words(f)) for f in findings), default=0),
        "quantities": sum(len(f.quantities) for f in findings),
        "materials": sum(len(f.materials) for f in findings),
        "place": any(f.place for f in findings),
        "place_named": any(f.place and not f.place.carried for f in findings),
        "hedged": sum(f.assertion.status == "possible" for f in findings),
        "conditional": sum(f.assertion.status == "conditional" for f in findings),
        "safety": any(f.safety for f in findings),
        "flags": sum(len(f.flags) for f in findings),
        "claim": max((part_of(f, "claim") for f in findings), default=0.5),
        "least_claim": min((part_of(f, "claim") for f in findings), default=0.5),
        "choice": max((part_of(f, "choice") for f in findings), default=0.5),
        "least_choice": min((part_of(f, "choice") for f in findings), default=0.5),
        "pronoun": min((p.value for f in findings for p in f.parts if p.name == "pronoun"), default=1.0),
    }
    best = max(findings, key=judgement)
    for category in AGAINST:
        features[f"cue_{category}"] = sum(c.category == category for f in findings for c in f.assertion.because)
        features[f"best_cue_{category}"] = any(c.category == category for c in best.assertion.because)
    return {k: float(v) for k, v in features.items()}


def part_of(finding: Finding, name: str) -> float:
    return next((p.value for p in finding.parts if p.name == name), 0.5)


def parts_of(transcript: Transcript, findings: Sequence[Finding], chance: float) -> tuple[Part, ...]:
    """The parts of the strongest finding, with hearing, agreement and the judgement of the whole item."""
    best = max(findings, key=judgement)
    agreeing = len({f.passage for f in findings})
    own = tuple(p for p in best.parts if p.name not in ("judgement", "claim", "choice"))
    return (
        hearing(transcript, best),
        *own,
        Part("agreement", agreement(findings), f"said in {agreeing} passage(s)"),
        Part("judgement", round(chance, 4), "weighed from the findings together"),
    )


def chance_of(judge: Judge | None, findings: Sequence[Sequence[Finding]]) -> list[float]:
    if judge is None:
        return [agreement(group) for group in findings]
    return judge.chances([item_features(group) for group in findings])


def hearing(transcript: Transcript, finding: Finding) -> Part:
    """How sure the recogniser was of the matched words."""
    numbers = [*finding.words, *(finding.element.words if finding.element else ())]
    sure = [transcript.words[n].probability for n in numbers if n < len(transcript.words)]
    return Part("hearing", round(sum(sure) / len(sure), 3) if sure else 1.0, "mean probability of the matched words")


def agreement(findings: Sequence[Finding]) -> float:
    """Chance that not all findings are wrong, as if half independent of each other."""
    chances = sorted((judgement(f) for f in findings), reverse=True)
    doubt = 1 - chances[0]
    for chance in chances[1:]:
        doubt *= 1 - 0.5 * chance
    return round(1 - doubt, 4)


def confidence(parts: Sequence[Part]) -> float:
    """0..1: the judgement, lowered where the words themselves are in doubt."""
    value = {p.name: p.value for p in parts}
    return round(min(0.99, value.get("judgement", 0.5) * (0.6 + 0.4 * min(1.0, value.get("hearing", 1.0) + 0.1))), 3)
