"""Whether a person can get hurt by what an item says, or code or law usually regulates it.

The fitted judge "safety" weighs what the lexicon and the speakers say; without it any such word counts.
"""

from collections.abc import Mapping, Sequence

from memo2list.judging import load_judge
from memo2list.listing.similarity import entry_of
from memo2list.records import Finding
from memo2list.vocabulary.entries import Matcher

LIKELY = 0.5


def hazard_features(findings: Sequence[Finding], lexicon: Matcher) -> Mapping[str, float]:
    """The element, its pack and what is wrong with it, each as a feature of its own, and the reader's own word."""
    told = {"said": float(any(f.safety for f in findings)), "said_often": float(sum(f.safety for f in findings))}
    for finding in findings:
        entry = entry_of(finding, lexicon)
        names = [finding.element.entry, finding.element.entry.split()[-1]] if finding.element else []
        told |= {f"element {n}": 1.0 for n in names}
        told |= {f"problem {m.entry}": 1.0 for m in finding.problems} | {f"action {m.entry}": 1.0 for m in finding.actions}
        if entry is not None:
            told |= {f"pack {entry.pack}": 1.0, "element_safety": max(told.get("element_safety", 0.0), float(entry.safety))}
        problems = [lexicon.entry("problem", m.entry) for m in finding.problems]
        told["problem_safety"] = max(told.get("problem_safety", 0.0), float(any(p.safety for p in problems if p)))
    return told


def hazards(groups: Sequence[Sequence[Finding]], lexicon: Matcher) -> list[bool]:
    """For each item whether it is a matter of safety."""
    judge = load_judge("safety")
    if judge is None:
        return [any(f.safety for f in findings) for findings in groups]
    chances = judge.chances([hazard_features(findings, lexicon) for findings in groups])
    return [own_mark(findings, chance >= LIKELY) for findings, chance in zip(groups, chances, strict=True)]


def own_mark(findings: Sequence[Finding], judged: bool) -> bool:
    """The deep reader marks danger itself, better than the judge does (measured: 0.91 against 0.85 of items right)."""
    return any(f.safety for f in findings) if all(f.reader == "deep" for f in findings) else judged
