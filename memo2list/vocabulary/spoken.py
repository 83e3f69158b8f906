"""Spoken cues: phrases that steer the list while the recorder runs ("take a picture here", "strike the last one").

They are data, `lexicon/common/spoken_cues.toml`, in the pattern language of descriptions. A cue counts only where it makes
or begins a whole statement, so that everyday talk with the same words is left alone.
"""

import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Literal

from memo2list.records import Word, WordRange
from memo2list.vocabulary.packs import shipped_folder
from memo2list.vocabulary.patterns import Pattern, compile_pattern, match_at
from memo2list.vocabulary.tokens import tokenise

Meaning = Literal["job", "next", "place", "note", "picture", "strike", "wish", "office", "end"]
PAUSE_MS = 600  # a longer pause ends a statement, whatever the punctuation says
FILLERS = frozenset("okay ok so alright right now and um uh er well then good great yeah yes please here there".split())
END_MARKS = (".", "?", "!")


@dataclass(frozen=True, slots=True)
class SpokenCue:
    """One cue as said: its meaning, its words, and the words after it that say what it is about (may be empty)."""

    meaning: Meaning
    words: WordRange
    about: WordRange


@dataclass(frozen=True, slots=True)
class SpokenRule:
    """What the data says about one meaning."""

    meaning: Meaning
    alone: bool
    patterns: tuple[Pattern, ...]
    near: tuple[str, ...]


@cache
def spoken_rules() -> tuple[SpokenRule, ...]:
    """The rules shipped with the lexicon."""
    tables = tomllib.loads((shipped_folder() / "common" / "spoken_cues.toml").read_text(encoding="utf-8"))
    return tuple(
        SpokenRule(meaning, t["where"] == "alone", tuple(compile_pattern(p, {}) for p in t["phrases"]), tuple(t["near"]))  # type: ignore[arg-type]
        for meaning, t in tables.items()
    )


def spoken_cues(words: Sequence[Word]) -> tuple[SpokenCue, ...]:
    """All cues in these words, in order; at most one a statement."""
    found = (cue_of(words, statement) for statement in statements(words))
    return tuple(cue for cue in found if cue is not None)


def statements(words: Sequence[Word]) -> Iterator[WordRange]:
    """Stretches that end at a full stop, a question or exclamation mark, or a pause."""
    first = 0
    for number, word in enumerate(words):
        last = number + 1 == len(words)
        if last or word.text.endswith(END_MARKS) or words[number + 1].span.start_ms - word.span.end_ms > PAUSE_MS:
            yield WordRange(first, number + 1)
            first = number + 1


def cue_of(words: Sequence[Word], statement: WordRange) -> SpokenCue | None:
    """The cue that this statement is or begins with; the longest one if several fit."""
    start = statement.first
    while start < statement.stop and bare(words[start]) in FILLERS:
        start += 1
    if start == statement.stop:
        return None
    best: SpokenCue | None = None
    for rule in spoken_rules():
        length = longest(rule.patterns, words, WordRange(start, statement.stop))
        if not length or (best and length <= len(best.words)):
            continue
        after = WordRange(start + length, statement.stop)
        if rule.alone and any(bare(words[n]) not in FILLERS for n in after):
            continue
        best = SpokenCue(rule.meaning, WordRange(start, start + length), after)
    return best


def longest(patterns: Sequence[Pattern], words: Sequence[Word], within: WordRange) -> int:
    """How many words the longest match at the start takes; 0 for none. A match may not end inside a word."""
    tokens = tokenise([words[n].text for n in within])
    stops = [found[0] for p in patterns if (found := match_at(p, tokens, 0))]
    return max((words_taken(tokens.word, stop) for stop in stops if stop), default=0)


def words_taken(owners: Sequence[int], stop: int) -> int:
    inside = stop < len(owners) and owners[stop] == owners[stop - 1]
    return 0 if inside else owners[stop - 1] + 1


def bare(word: Word) -> str:
    return word.text.lower().strip(".,?!…;: ")
