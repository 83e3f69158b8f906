"""The small pattern language of `said` descriptions and cue phrases (lexicon/README.md tells it to pack writers).

water ~sit in it        ~sit: any form of the word (sits, sat, sitting); ~(weep|seep): any form of either
(thumb|finger) into     one of several
[really] wobbly         may be left out
comes ..3 off           up to three words between
$not ~latch             a named group from common/groups.toml
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from memo2list.vocabulary.inflect import any_forms
from memo2list.vocabulary.tokens import Tokens, split_form

PIECE = re.compile(r"(~?)\(([^()]*)\)(\?)?|\[([^\[\]]*)\]|\.\.(\d+)|(\$[a-z-]+)|(~?[^\s()\[\]|]+)")

ANY_FORM_OF = re.compile(r"~\(([^()]*)\)")  # ~(weep|seep) is (~weep|~seep)


class PatternError(ValueError):
    """A description cannot be read; the message says what is wrong with it."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a pattern: some words to see, perhaps optional, or a gap of up to `gap` words."""

    words: frozenset[tuple[str, ...]] = frozenset()
    optional: bool = False
    gap: int = 0
    by_first: Mapping[str, tuple[tuple[str, ...], ...]] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        found: dict[str, tuple[tuple[str, ...], ...]] = {}
        for words in self.words:
            found[words[0]] = (*found.get(words[0], ()), words)
        object.__setattr__(self, "by_first", found)


@dataclass(frozen=True, slots=True)
class Pattern:
    text: str
    steps: tuple[Step, ...]

    @property
    def later_tokens(self) -> tuple[frozenset[str], ...]:
        """For each step after the first that must be said, the tokens it can begin with; quick to look for beforehand."""
        required = [s for s in self.steps[1:] if s.words and not s.optional]
        return tuple(frozenset(s.by_first) for s in required)

    @property
    def first_tokens(self) -> set[str]:
        """Tokens a match can begin with."""
        found: set[str] = set()
        for step in self.steps:
            found |= {words[0] for words in step.words}
            if not step.optional:
                break
        return found


def _word(text: str) -> set[tuple[str, ...]]:
    if text.startswith("~"):
        return {(form,) for form in any_forms(text[1:])}
    tokens = split_form(text)
    return {tokens} if tokens else set()


def _phrase(text: str, groups: Mapping[str, Sequence[str]]) -> set[tuple[str, ...]]:
    """All token sequences one alternative stands for ("~come off" → comes off, came off, …)."""
    sequences: set[tuple[str, ...]] = {()}
    for piece in text.split():
        options = _group(piece, groups) if piece.startswith("$") else _word(piece)
        sequences = {(*head, *tail) for head in sequences for tail in options}
    return sequences - {()}


def _group(name: str, groups: Mapping[str, Sequence[str]]) -> set[tuple[str, ...]]:
    if name[1:] not in groups:
        raise PatternError(f"there is no group {name}; the groups are {', '.join('$' + g for g in sorted(groups))}.")
    return {tokens for member in groups[name[1:]] for tokens in _phrase(member, groups)}


def _alternatives(text: str, groups: Mapping[str, Sequence[str]]) -> frozenset[tuple[str, ...]]:
    return frozenset(tokens for part in text.split("|") for tokens in _phrase(part, groups))


def compile_pattern(text: str, groups: Mapping[str, Sequence[str]]) -> Pattern:
    """Reads one description. Raises `PatternError` if it cannot be read or could match no words at all.

    >>> [step.gap for step in compile_pattern("comes ..3 off", {}).steps]
    [0, 3, 0]
    """
    text = ANY_FORM_OF.sub(lambda m: "(" + "|".join(f"~{word}" for word in m[1].split("|")) + ")", text)
    steps, at = [], 0
    for found in PIECE.finditer(text):
        if text[at : found.start()].strip():
            raise PatternError(f"{text[at : found.start()].strip()!r} cannot be read here.")
        at = found.end()
        steps.append(_step(found, groups))
    if text[at:].strip():
        raise PatternError(f"{text[at:].strip()!r} cannot be read here; is a bracket missing?")
    required = [s for s in steps if s.words and not s.optional]
    if not required or steps[0].gap or steps[-1].gap:
        raise PatternError("a description needs at least one word that must be said, and cannot begin or end with a gap.")
    return Pattern(text, tuple(steps))


def _step(found: re.Match[str], groups: Mapping[str, Sequence[str]]) -> Step:
    any_form, either, may_miss, optional, gap, group, word = found.groups()
    if gap:
        return Step(gap=int(gap))
    if optional is not None:
        return Step(_alternatives(optional, groups), optional=True)
    if either is not None:
        marked = "|".join(f"~{part.strip()}" for part in either.split("|")) if any_form else either
        return Step(_alternatives(marked, groups), optional=bool(may_miss))
    if group:
        return Step(frozenset(_group(group, groups)))
    return Step(frozenset(_word(word)))


Pieces = tuple[tuple[int, int], ...]


def match_at(pattern: Pattern, tokens: Tokens, start: int) -> tuple[int, Pieces] | None:
    """The longest match beginning at token `start`: its end and the pieces really matched, or None.

    Gaps stop at a sentence end.
    """
    return _match(pattern.steps, 0, tokens, start, ())


def _match(steps: tuple[Step, ...], number: int, tokens: Tokens, at: int, pieces: Pieces) -> tuple[int, Pieces] | None:
    if number == len(steps):
        return at, pieces
    step = steps[number]
    if step.gap:
        return _match_gap(steps, number, tokens, at, pieces)
    best = None
    if not pieces or tokens.breaks[at - 1] != 2:
        for stop in _ends(step, tokens, at):
            found = _match(steps, number + 1, tokens, stop, (*pieces, (at, stop)))
            if found and (best is None or found[0] > best[0]):
                best = found
    if best is None and step.optional:
        return _match(steps, number + 1, tokens, at, pieces)
    return best


def _ends(step: Step, tokens: Tokens, at: int) -> list[int]:
    """Where the step's alternatives end that are said at token `at`."""
    texts = tokens.texts
    if at >= len(texts):
        return []
    return [
        at + len(words)
        for words in step.by_first.get(texts[at], ())
        if len(words) == 1 or (texts[at : at + len(words)] == words and 2 not in tokens.breaks[at : at + len(words) - 1])
    ]


def _match_gap(steps: tuple[Step, ...], number: int, tokens: Tokens, at: int, pieces: Pieces) -> tuple[int, Pieces] | None:
    for skipped in range(steps[number].gap + 1):
        if at + skipped >= len(tokens.texts):
            return None
        found = _match(steps, number + 1, tokens, at + skipped, pieces)
        if found:
            return found
        if tokens.breaks[at + skipped] == 2:
            return None
    return None
