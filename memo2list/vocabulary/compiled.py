"""The lexicon made ready for matching: a table of all derived forms, and the descriptions that have gaps.

The table keeps the forms under their first token as one text, a line each: the further tokens, the number of the
entry, how it matches, and the number of the form as listed. `finding.Finder` unfolds a text when its token is first
heard, so that loading the whole table costs next to nothing.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from memo2list.vocabulary.entries import CuePhrase, Entry
from memo2list.vocabulary.inflect import PARTICLES, VARIANTS, respelled
from memo2list.vocabulary.patterns import Pattern, PatternError, compile_pattern
from memo2list.vocabulary.tokens import split_form

END = ""
EXACT, VARIANT, DOUBTFUL, SOUND, DESCRIPTION = "exact", "variant", "doubtful", "sound-alike", "description"
HOWS = (EXACT, VARIANT, DOUBTFUL, SOUND, DESCRIPTION, "cue")
HOW_NUMBER = {how: number for number, how in enumerate(HOWS)}
Form = tuple[tuple[str, ...], str, str]  # tokens, how, the form as listed
VERB_GAP = 4  # words that may stand between a verb and its particle: "take those old gutters down"
MOST_EXPANSIONS = 96  # a description without gaps and with fewer readings than this goes into the trie


@dataclass(slots=True)
class Compiled:
    """Forms and patterns refer to entries (or cue phrases) by their number in the list they were made from."""

    forms: dict[tuple[str, ...], list[tuple[int, str, str]]]  # tokens → number, how, form as listed
    patterns: list[tuple[int, str, Pattern]]  # number, how, pattern

    def add(self, tokens: tuple[str, ...], number: int, how: str, form: str) -> None:
        """Adds a form; an entry has the same tokens once, the first way it lists them."""
        ends = self.forms.setdefault(tokens, [])
        for end in ends:
            if end[0] == number:
                return
        ends.append((number, how, form))

    def table(self) -> tuple[dict[str, str], list[str]]:
        """The forms under their first token, and the listed forms that the lines refer to by number."""
        listed: dict[str, int] = {}
        lines: dict[str, list[str]] = {}
        for tokens, ends in self.forms.items():
            rest = " ".join(tokens[1:])
            rows = lines.setdefault(tokens[0], [])
            for number, how, form in ends:
                rows.append(f"{rest}|{number}|{HOW_NUMBER[how]}|{listed.setdefault(form, len(listed))}")
        return {token: "\n".join(rows) for token, rows in lines.items()}, list(listed)

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


def joins(entry: Entry, form: str, tokens: tuple[str, ...]) -> list[tuple[str, ...]]:
    """A hyphened form or a part's name closed up: "touch-up" → touchup; only of two parts."""
    if (
        len(tokens) == 2
        and ("-" in form or (form == entry.name and entry.kind == "element"))
        and all(t.isalpha() for t in tokens)
    ):
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
            for tokens in (spelled, *joins(entry, form, spelled)):
                for variant in VARIANTS[entry.kind](tokens):
                    yield variant, how, form


def phrasal_pattern(entry: Entry, form: str) -> Pattern | None:
    """ "take down" also as "take … down"; None for what is no phrasal verb."""
    tokens = split_form(form)
    if entry.kind != "action" or len(tokens) != 2 or tokens[1] not in PARTICLES:
        return None
    return compile_pattern(f"~{tokens[0]} ..{VERB_GAP} {tokens[1]}", {})


def compound_split(word: str, known: set[str]) -> tuple[str, str] | None:
    """One long word said as two known ones: "downspout" → down spout."""
    if len(word) < 7 or not word.isalpha():
        return None
    for at in range(3, len(word) - 2):
        if word[:at] in known and word[at:] in known:
            return word[:at], word[at:]
    return None


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
            compiled.add(form[0], number, form[1], form[2])
            known.update(form[0])
            if len(form[0]) == 1 and form[1] != DOUBTFUL and entry.kind in ("element", "material", "place"):
                singles.append((number, form))
        _add_descriptions(compiled, number, entry, groups)
    for number, ((word,), how, text) in singles:
        halves = compound_split(word, known)
        if halves:
            compiled.add(halves, number, VARIANT if how == EXACT else how, text)
    for number, (tokens, how, text) in sounds:
        compiled.add(tokens, number, how, text)
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
            compiled.add(spelled, number, how, text)


def compile_cues(cues: Sequence[CuePhrase], groups: Mapping[str, Sequence[str]]) -> Compiled:
    compiled = Compiled({}, [])
    for number, cue in enumerate(cues):
        _add_pattern(compiled, number, "cue", cue.phrase, groups)
    return compiled
