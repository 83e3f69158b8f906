"""One number for an item from named parts: the best finding's parts, and agreement between findings."""

from collections.abc import Sequence

from memo2list.records import Finding, Part, Transcript

HELD = 0.97  # a second finding that agrees removes part of the remaining doubt


def parts_of(transcript: Transcript, findings: Sequence[Finding]) -> tuple[Part, ...]:
    """The parts of the strongest finding, with hearing and agreement added."""
    best = max(findings, key=judgement)
    agreeing = len({f.passage for f in findings})
    return (hearing(transcript, best), *best.parts, Part("agreement", agreement(findings), f"said in {agreeing} passage(s)"))


def judgement(finding: Finding) -> float:
    return next((p.value for p in finding.parts if p.name == "judgement"), 0.5)


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
    """0..1: agreement, lowered where the words themselves are in doubt."""
    value = {p.name: p.value for p in parts}
    return round(min(0.99, value.get("agreement", 0.5) * (0.6 + 0.4 * min(1.0, value.get("hearing", 1.0) + 0.1))), 3)
