"""Words as the vocabulary sees them: lower case, without punctuation, contractions mended, hyphens split."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

EDGES = re.compile(r"^[^\w']+|[^\w']+$|^'+|(?<!s)'+$")
HYPHENS = re.compile(r"[-–—/]+")
ENDS = (".", "?", "!", ":", ";", "…", ",")
FULL_ENDS = (".", "?", "!", "…")
# kept whole: the apostrophe belongs to "is", "has" or "us", and cues are written with it
IS_WORDS = "it that there here what who he she where how let everything nothing one this"
CONTRACTED_S = frozenset(f"{word}'s" for word in IS_WORDS.split())
CONTRACTIONS = (
    "doesn't don't won't can't isn't wasn't didn't ain't wouldn't couldn't hasn't haven't aren't weren't shouldn't hadn't "
    "that's there's what's let's i've we've you've they've i'm you're they're"
)
UNCONTRACTED = {word.replace("'", ""): word for word in CONTRACTIONS.split()}  # as recognisers sometimes write them


@dataclass(frozen=True, slots=True)
class Tokens:
    """The tokens of a passage, and which word each came from (a hyphened word gives several tokens)."""

    texts: tuple[str, ...]
    word: tuple[int, ...]  # number of the word each token came from
    breaks: tuple[int, ...]  # 0 none after this token, 1 a comma or the like, 2 a sentence end


@lru_cache(maxsize=50_000)
def split_word(word: str) -> tuple[str, ...]:
    """The tokens of one word as said.

    >>> split_word("Fascia's"), split_word("touch-up,"), split_word("isn’t"), split_word("--")
    (('fascia',), ('touch', 'up'), ("isn't",), ())
    """
    text = EDGES.sub("", word.replace("’", "'").replace("‘", "'").lower())
    parts = (EDGES.sub("", part) for part in HYPHENS.split(text))
    return tuple(_mended(part) for part in parts if part)


def _mended(part: str) -> str:
    part = UNCONTRACTED.get(part, part)
    if part.endswith("'s") and part not in CONTRACTED_S:
        return part[:-2]
    return part[:-1] if part.endswith("s'") else part


@lru_cache(maxsize=20_000)
def split_form(form: str) -> tuple[str, ...]:
    """The tokens of a lexicon form, made the same way as those of talk."""
    return tuple(token for word in form.split() for token in split_word(word))


def _break_after(word: str) -> int:
    return 2 if word.endswith(FULL_ENDS) else 1 if word.endswith(ENDS) else 0


def tokenise(words: Sequence[str]) -> Tokens:
    """Tokens of the words of a passage."""
    texts: list[str] = []
    numbers: list[int] = []
    breaks: list[int] = []
    for number, word in enumerate(words):
        parts = split_word(word)
        if not parts:
            if breaks:
                breaks[-1] = max(breaks[-1], _break_after(word))
            continue
        texts.extend(parts)
        numbers.extend([number] * len(parts))
        breaks.extend([0] * (len(parts) - 1))
        breaks.append(_break_after(word))
    return Tokens(tuple(texts), tuple(numbers), tuple(breaks))
