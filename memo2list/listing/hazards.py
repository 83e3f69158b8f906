"""Whether a person can get hurt by what an item says, or code or law usually regulates it.

The fitted weights "dangers" add up what is named and what is said; without them the lexicon's and the speakers' own word counts.
"""

import math
from collections.abc import Iterable, Sequence

from memo2list.judging import load_weights
from memo2list.listing.similarity import entry_of
from memo2list.records import Finding, Mention
from memo2list.vocabulary.entries import Matcher

LIKELY = 0.42  # chance from which an item is a matter of safety; the best share right on walks left out of the fit
EVERYDAY = frozenset(
    "the a an and of to is it that's it's that this in on i i'd i'll you we so um uh okay yeah there's at for with be but "
    "they're".split()
)


def danger_facts(findings: Sequence[Finding], said: Iterable[str], lexicon: Matcher) -> tuple[str, ...]:
    """Named facts of an item: the part, what is wrong, what is done, and the plain words of its passages."""
    elements = names(f.element for f in findings if f.element)
    problems, actions = names(m for f in findings for m in f.problems), names(m for f in findings for m in f.actions)
    entries = [entry for f in findings if (entry := entry_of(f, lexicon))]
    marks = [f"pack {entry.pack}" for entry in entries] + ["reader's word"] * any(f.safety for f in findings)
    return tuple(dict.fromkeys([*named_facts(elements, problems, actions), *said_facts(said), *marks]))


def names(mentions: Iterable[Mention]) -> list[str]:
    return list(dict.fromkeys(name for m in mentions for name in (m.entry, m.said) if name))


def named_facts(elements: Sequence[str], problems: Sequence[str], actions: Sequence[str]) -> list[str]:
    """Whole names, their words, and the part together with what is wrong with it."""
    out = ["nothing wrong"] if not problems else []
    for kind, known in (("element", elements), ("problem", problems), ("action", actions)):
        out += [f"{kind} {name}" for name in known] + [f"{kind} word {word}" for name in known for word in name.split()]
    head = elements[0].split()[-1] if elements else ""
    return out + [f"{head} with {word}" for name in problems[:1] for word in name.split()]


def said_facts(said: Iterable[str]) -> list[str]:
    return [f"said {word}" for word in said if word not in EVERYDAY]


def hazards(groups: Sequence[tuple[Sequence[Finding], Sequence[str]]], lexicon: Matcher) -> list[bool]:
    """For each item, given as its findings and the plain words of its passages, whether it is a matter of safety.

    The deep reader marks danger itself, better than the weights do.
    """
    weights = load_weights("dangers")
    out = []
    for findings, said in groups:
        own = any(f.safety for f in findings)
        if weights is None or all(f.reader == "deep" for f in findings):
            out.append(own)
        else:
            out.append(1 / (1 + math.exp(-weights.score(danger_facts(findings, said, lexicon)))) >= LIKELY)
    return out
