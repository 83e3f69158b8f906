"""The lexicon made ready for matching: a trie of all derived forms, and the descriptions that have gaps.

A trie node is a dict from the next token to its node; the key "" holds the forms that end there, as
`[number, how, form]`. Everything here is lists, dicts and texts, so that it can be kept in a JSON file.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

from memo2list.vocabulary.entries import CuePhrase, Entry
from memo2list.vocabulary.inflect import PARTICLES, VARIANTS, respelled, verb_forms
from memo2list.vocabulary.patterns import Pattern, PatternError, Step, compile_pattern
from memo2list.vocabulary.tokens import split_form

END = ""
EXACT, VARIANT, DOUBTFUL, SOUND, DESCRIPTION = "exact", "variant", "doubtful", "sound-alike", "description"
Form = tuple[tuple[str, ...], str, str]  # tokens, how, the form as listed
Trie = dict[str, Any]
VERB_GAP = 4  # words that may stand between a verb and its particle: "take those old gutters down"
MOST_EXPANSIONS = 96  # a description without gaps and with fewer readings than this goes into the trie


@dataclass(slots=True)
class Compiled:
    """`trie` and `patterns` refer to entries (or cue phrases) by their number in the list they were made from."""

    trie: Trie
    patterns: list[tuple[int, str, Pattern]]  # number, how, pattern

    def by_first_token(self) -> dict[str, list[int]]:
        index: dict[str, list[int]] = {}
        for number, (_, _, pattern) in enumerate(self.patterns):
            for token in pattern.first_tokens:
                index.setdefault(token, []).append(number)
        return index


def listed_forms(entry: Entry) -> Iterable[tuple[str, str]]:
    """Every form an entry lists, with how a match by it is called."""
    doubtful = set(entry.doubtful)
    forms = dict.fromkeys((entry.name, *entry.forms, *entry.us, *entry.uk, *entry.slang, *entry.doubtful))
    for form in forms:
        yield form, DOUBTFUL if form in doubtful else EXACT if form == entry.name else VARIANT
    for form in entry.sounds:
        yield form, SOUND


def joins(form: str, tokens: tuple[str, ...]) -> list[tuple[str, ...]]:
    """The form with a hyphen or space closed up: "touch-up" → touchup; only two parts, and only long enough ones."""
    if len(tokens) == 2 and all(t.isalpha() for t in tokens) and ("-" in form or min(map(len, tokens)) >= 3):
        return [("".join(tokens),)]
    return []


def derived_forms(entry: Entry) -> Iterable[Form]:
    """All token sequences that match an entry, with how and by which listed form."""
    for form, how in listed_forms(entry):
        base = split_form(form)
        if not base:
            continue
        if how == SOUND:
            yield base, how, form
            continue
        for spelled in respelled(base):
            for tokens in (spelled, *joins(form, spelled)):
                for variant in VARIANTS[entry.kind](tokens):
                    yield variant, how, form


def phrasal_pattern(entry: Entry, form: str) -> Pattern | None:
    """ "take down" also as "take … down"; None for what is no phrasal verb."""
    tokens = split_form(form)
    if entry.kind != "action" or len(tokens) != 2 or tokens[1] not in PARTICLES:
        return None
    verbs = frozenset((v,) for v in verb_forms(tokens[0]))
    return Pattern(form, (Step(verbs), Step(gap=VERB_GAP), Step(frozenset({(tokens[1],)}))))


def compound_split(word: str, known: set[str]) -> tuple[str, str] | None:
    """One long word said as two known ones: "downspout" → down spout."""
    if len(word) < 7 or not word.isalpha():
        return None
    for at in range(3, len(word) - 2):
        if word[:at] in known and word[at:] in known:
            return word[:at], word[at:]
    return None


def add_form(trie: Trie, tokens: Sequence[str], number: int, how: str, form: str) -> None:
    node = trie
    for token in tokens:
        node = node.setdefault(token, {})
    ends = node.setdefault(END, [])
    if not any(end[0] == number for end in ends):
        ends.append([number, how, form])


def expansions(pattern: Pattern) -> list[tuple[str, ...]] | None:
    """All readings of a pattern without gaps; None where it has gaps or too many readings."""
    options: list[list[tuple[str, ...]]] = []
    count = 1
    for step in pattern.steps:
        if step.gap:
            return None
        options.append([*step.words, *([()] if step.optional else [])])
        count *= len(options[-1])
        if count > MOST_EXPANSIONS:
            return None
    return [tuple(token for part in parts for token in part) for parts in product(*options)]


def compile_entries(entries: Sequence[Entry], groups: Mapping[str, Sequence[str]]) -> Compiled:
    """Expands all forms. Descriptions that cannot be read are left out; `lexicon check` names them."""
    compiled = Compiled({}, [])
    sounds: list[tuple[int, Form]] = []
    singles: list[tuple[int, Form]] = []
    known: set[str] = set()
    for number, entry in enumerate(entries):
        for form in derived_forms(entry):
            if form[1] == SOUND:
                sounds.append((number, form))
                continue
            add_form(compiled.trie, form[0], number, form[1], form[2])
            known.update(form[0])
            if len(form[0]) == 1 and form[1] != DOUBTFUL:
                singles.append((number, form))
        _add_descriptions(compiled, number, entry, groups)
    for number, ((word,), how, text) in singles:
        halves = compound_split(word, known)
        if halves:
            add_form(compiled.trie, halves, number, VARIANT if how == EXACT else how, text)
    for number, (tokens, how, text) in sounds:
        add_form(compiled.trie, tokens, number, how, text)
    return compiled


def _add_descriptions(compiled: Compiled, number: int, entry: Entry, groups: Mapping[str, Sequence[str]]) -> None:
    for said in entry.said:
        _add_pattern(compiled, number, DESCRIPTION, said, groups)
    for form, how in listed_forms(entry):
        phrasal = phrasal_pattern(entry, form) if how != SOUND else None
        if phrasal:
            compiled.patterns.append((number, how if how == DOUBTFUL else VARIANT, phrasal))


def _add_pattern(compiled: Compiled, number: int, how: str, text: str, groups: Mapping[str, Sequence[str]]) -> None:
    try:
        pattern = compile_pattern(text, groups)
    except PatternError:
        return
    readings = expansions(pattern)
    if readings is None:
        compiled.patterns.append((number, how, pattern))
        return
    for tokens in readings:
        for spelled in respelled(tokens):
            add_form(compiled.trie, spelled, number, how, text)


def compile_cues(cues: Sequence[CuePhrase], groups: Mapping[str, Sequence[str]]) -> Compiled:
    compiled = Compiled({}, [])
    for number, cue in enumerate(cues):
        _add_pattern(compiled, number, "cue", cue.phrase, groups)
    return compiled
