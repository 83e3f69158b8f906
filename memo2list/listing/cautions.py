"""The usual cautions for an item, from the lexicon's rules; local code and licensed trades decide."""

from collections.abc import Iterable, Sequence

from memo2list.records import Caution
from memo2list.vocabulary.entries import CautionRule, Entry


def applies(rule: CautionRule, element: str, problems: Iterable[str], actions: Iterable[str]) -> bool:
    """Any element AND any problem or action named; what a rule leaves empty it does not ask for."""
    if not (rule.elements or rule.problems or rule.actions):
        return False
    told = set(problems) & set(rule.problems) or set(actions) & set(rule.actions)
    return (not rule.elements or element in rule.elements) and (not (rule.problems or rule.actions) or bool(told))


def cautions(
    rules: Sequence[CautionRule], entries: Sequence[Entry | None], element: str, problems: Sequence[str], actions: Sequence[str]
) -> tuple[Caution, ...]:
    named = {name for entry in entries if entry for name in entry.cautions}
    chosen = [r for r in rules if r.name in named or applies(r, element, problems, actions)]
    return tuple(Caution(r.text, r.source) for r in chosen)
