"""Spoken cues: phrases that steer the list while the recorder runs ("take a picture here", "strike the last one").

They are data, `lexicon/common/spoken_cues.toml`, in the pattern language of descriptions. A cue counts only where a statement
begins with it (or is nothing else), so that everyday talk with the same words is left alone; a few phrases that everyday talk
does not have count in the midst of it too. Recognisers set full stops in the wrong place about half the time and now and then
none at all, so pauses end statements too, and what a cue is about may follow in the next one.
"""

import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from typing import Literal

from memo2list.records import Transcript, Word, WordRange
from memo2list.vocabulary.packs import shipped_folder
from memo2list.vocabulary.patterns import Pattern, compile_pattern, match_at
from memo2list.vocabulary.tokens import Tokens, split_word, tokenise

Meaning = Literal["job", "next", "place", "note", "picture", "strike", "wish", "office", "end"]
PAUSE_MS = 600  # a longer pause ends a statement, whatever the punctuation says
BREATH_MS = 300  # a longer one sets a cue apart from the talk around it,
COMMA_MS = 120  # and so does a comma with this
FOLLOWS_MS = 3000  # within this what a cue is about may come as a statement of its own ("Note to self. Bring the ladder.")
LONGEST = 30  # words a cue can be about: a speaker who never pauses does not lose the rest of the walk to a note
FURTHEST = 2 * LONGEST  # words looked ahead for the end of a statement
PHRASE = 12  # words a phrase takes at most
CUT_OFF = frozenset({"note", "office", "place", "job"})  # meanings whose subject may follow as a statement of its own
FILLERS = frozenset("okay ok so oh all alright right now and um uh er well then good great yeah yes please here there".split())
END_MARKS = (".", "?", "!", "…")
COMMAS = (",", ";", ":", "—", "–")


@dataclass(frozen=True, slots=True)
class SpokenCue:
    """One cue as said: its meaning, its words, and the words after it that say what it is about (may be empty)."""

    meaning: Meaning
    words: WordRange
    about: WordRange

    @property
    def divides(self) -> bool:
        """True where what follows is about something else than what was said before."""
        return self.meaning in ("next", "strike", "end") or (self.meaning == "wish" and len(self.about) > 0)


@dataclass(frozen=True, slots=True)
class SpokenRule:
    """What the data says about one meaning."""

    meaning: Meaning
    alone: bool
    patterns: tuple[Pattern, ...]
    near: tuple[str, ...]
    sure: tuple[Pattern, ...] = ()  # counted wherever they are said


@dataclass(frozen=True, slots=True)
class Talk:
    """Words with where they can be cut: after which of them a statement ends, and after which a cue may begin or end."""

    words: Sequence[Word]
    ends: frozenset[int]  # numbers of words that a statement ends with
    breaths: frozenset[int]  # those, and words with a shorter pause after them
    turns: frozenset[int]  # numbers of words that a speaker's turn ends with

    def stop(self, start: int, marks: frozenset[int]) -> int:
        """The number after the first mark at or after word `start`; a stretch without marks is cut off: the work is linear."""
        last = min(len(self.words), start + FURTHEST)
        return next((n + 1 for n in range(start, last) if n in marks), last)


@cache
def spoken_rules() -> tuple[SpokenRule, ...]:
    """The rules shipped with the lexicon."""
    tables = tomllib.loads((shipped_folder() / "common" / "spoken_cues.toml").read_text(encoding="utf-8"))
    return tuple(
        SpokenRule(meaning, t["where"] == "alone", patterns(t["phrases"]), tuple(t["near"]), patterns(t.get("sure", ())))  # type: ignore[arg-type]
        for meaning, t in tables.items()
    )


@cache
def first_tokens() -> frozenset[str]:
    """Tokens that a phrase counted in the midst of talk can begin with."""
    return frozenset(token for rule in spoken_rules() for pattern in rule.sure for token in pattern.first_tokens)


@cache
def opening_tokens() -> frozenset[str]:
    """Tokens that a phrase counted at the start of a statement can begin with."""
    return frozenset(token for rule in spoken_rules() for pattern in rule.patterns for token in pattern.first_tokens)


def patterns(phrases: Iterable[str]) -> tuple[Pattern, ...]:
    return tuple(compile_pattern(phrase, {}) for phrase in phrases)


def cues_in(transcript: Transcript) -> tuple[SpokenCue, ...]:
    """All spoken cues of a recording, in order; none is about words of another speaker's turn."""
    return spoken_cues(transcript.words, (t.words.stop - 1 for t in transcript.turns if len(t.words)))


def spoken_cues(words: Sequence[Word], turn_ends: Iterable[int] = ()) -> tuple[SpokenCue, ...]:
    """All cues in these words, in order; `turn_ends` are the numbers of words that end a speaker's turn."""
    talk = talk_of(words, frozenset(turn_ends))
    found: list[SpokenCue] = []
    at, free = 0, True  # free: a statement may begin here
    while at < len(words):
        cue = (cue_at(talk, at) if free else None) or sure_cue(talk, at)
        if cue is None:
            free = at in talk.breaths
            at += 1
            continue
        found.append(with_subject(talk, cue))
        at, free = cue.words.stop, True
    starts = [cue.words.first for cue in found[1:]] + [len(words)]
    return tuple(ended(cue, following) for cue, following in zip(found, starts, strict=False))


def ended(cue: SpokenCue, following: int) -> SpokenCue:
    """What a cue is about ends where the next cue begins."""
    first, stop = cue.about.first, cue.about.stop
    return cue if stop <= following else replace(cue, about=WordRange(first, max(first, following)))


def talk_of(words: Sequence[Word], turns: frozenset[int]) -> Talk:
    ends, breaths = set(turns), set(turns)
    for number, word in enumerate(words):
        last = number + 1 == len(words)
        pause = PAUSE_MS + 1 if last else words[number + 1].span.start_ms - word.span.end_ms
        if pause > PAUSE_MS or word.text.endswith(END_MARKS):
            ends.add(number)
        elif pause > BREATH_MS or (pause > COMMA_MS and word.text.endswith(COMMAS)):
            breaths.add(number)
    return Talk(words, frozenset(ends), frozenset(ends | breaths), turns)


def cue_at(talk: Talk, first: int) -> SpokenCue | None:
    """The cue that the statement beginning with word `first` is or begins with; the longest one if several fit."""
    start, stop = after_fillers(talk, first), talk.stop(first, talk.ends)
    if start >= stop or not opening_tokens().issuperset(split_word(talk.words[start].text)[:1]):
        return None
    best: SpokenCue | None = None
    for rule in spoken_rules():
        length = longest(rule.patterns, talk.words, WordRange(start, stop))
        if not length or (best and length <= len(best.words)):
            continue
        cue = WordRange(start, start + length)
        if not rule.alone:
            best = SpokenCue(rule.meaning, cue, WordRange(cue.stop, min(stop, cue.stop + LONGEST)))
        elif alone := standing_alone(talk, cue):
            best = SpokenCue(rule.meaning, alone, WordRange(alone.stop, alone.stop))
    return best


def sure_cue(talk: Talk, start: int) -> SpokenCue | None:
    """The cue that begins with word `start` in the midst of talk."""
    if not first_tokens().intersection(split_word(talk.words[start].text)[:1]):
        return None
    stop = talk.stop(start, talk.ends)
    for rule in spoken_rules():
        length = longest(rule.sure, talk.words, WordRange(start, stop))
        if length:
            cue = WordRange(start, start + length)
            about = WordRange(cue.stop, cue.stop if rule.alone else min(stop, cue.stop + LONGEST))
            return SpokenCue(rule.meaning, cue, about)
    return None


def standing_alone(talk: Talk, cue: WordRange) -> WordRange | None:
    """The cue with the fillers after it, if nothing else comes in its breath or another cue follows at once; else None."""
    stop = talk.stop(cue.stop - 1, talk.breaths)
    rest = next((n for n in range(cue.stop, stop) if bare(talk.words[n]) not in FILLERS), stop)
    if rest == stop or any(longest(rule.patterns, talk.words, WordRange(rest, stop)) for rule in spoken_rules()):
        return WordRange(cue.first, rest)
    return None


def with_subject(talk: Talk, cue: SpokenCue) -> SpokenCue:
    """The cue with what it is about, where that comes as a statement of its own: "Note to self. Bring the ladder." """
    last = cue.words.stop - 1
    if cue.about or cue.meaning not in CUT_OFF or last in talk.turns or cue.words.stop >= len(talk.words):
        return cue
    if talk.words[last + 1].span.start_ms - talk.words[last].span.end_ms > FOLLOWS_MS or cue_at(talk, last + 1):
        return cue
    stop = min(talk.stop(last + 1, talk.ends), last + 1 + LONGEST)
    return replace(cue, about=WordRange(last + 1, stop))


def after_fillers(talk: Talk, first: int) -> int:
    """The first word that says something; fillers may be words of their own ("Okay. So, next item")."""
    stop = talk.stop(first, talk.ends)
    start = first
    while start < stop and bare(talk.words[start]) in FILLERS:
        start += 1
    return start


def longest(patterns: Sequence[Pattern], words: Sequence[Word], within: WordRange) -> int:
    """How many words the longest match at the start takes; 0 for none. Of a word it ends inside ("note to self-order") none."""
    if not patterns or not len(within):
        return 0
    tokens = phrase_tokens(tuple(w.text for w in words[within.first : min(within.stop, within.first + PHRASE)]))
    stops = [found[0] for p in patterns if (found := match_at(p, tokens, 0))]
    return max((words_taken(tokens.word, stop) for stop in stops if stop), default=0)


@lru_cache(maxsize=4)
def phrase_tokens(texts: tuple[str, ...]) -> Tokens:
    """The tokens of one stretch, which every rule looks at in turn."""
    return tokenise(texts)


def words_taken(owners: Sequence[int], stop: int) -> int:
    inside = stop < len(owners) and owners[stop] == owners[stop - 1]
    return owners[stop - 1] + (0 if inside else 1)


def bare(word: Word) -> str:
    return word.text.lower().strip(".,?!…;: ")
