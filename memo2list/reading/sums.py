"""Named facts of claims and choices added up by fitted weights."""

from collections.abc import Sequence

from memo2list.judging import Weights, load_weights
from memo2list.reading.candidates import Candidate, with_features

Group = tuple[Candidate, ...]
ALONE = 2.0  # the lead of a candidate without rivals


def worded(options: Sequence[Group]) -> list[Group]:
    """The candidates with the sums of their named facts as features; as they are where nothing was fitted."""
    claims, choices = load_weights("claims"), load_weights("choices")
    return list(options) if claims is None or choices is None else summed(options, claims, choices)


def summed(options: Sequence[Group], claims: Weights, choices: Weights) -> list[Group]:
    """As `worded`, by given weights."""
    return [with_sums(g, claims, choices) if g else g for g in options]


def with_sums(group: Group, claims: Weights, choices: Weights) -> Group:
    """The sums as features; `choice_lead` is how far a candidate is ahead of the best other one (negative: behind)."""
    claim = claims.score(group[0].claim_words)
    sums = [choices.score(c.choice_words) for c in group]
    out = []
    for number, (candidate, choice) in enumerate(zip(group, sums, strict=True)):
        others = [c for n, c in enumerate(sums) if n != number]
        lead = choice - max(others) if others else ALONE
        out.append(with_features(candidate, claim_sum=claim, choice_sum=choice, choice_lead=lead))
    return tuple(out)
