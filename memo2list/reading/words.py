"""Words as they are compared: lower case, without the punctuation around them."""

import re
from collections.abc import Sequence
from functools import lru_cache

from memo2list.records import Word

EDGES = re.compile(r"^[^\w]+|[^\w]+$")
SENTENCE_END = re.compile(r"[.?!…][\"'”’)]*$")
CLAUSE_END = re.compile(r"[,;:—–][\"'”’)]*$|-{1,2}$")


@lru_cache(maxsize=65536)
def plain(text: str) -> str:
    """One word for comparison; inner apostrophes and hyphens stay.

    >>> plain("Soffit,"), plain("doesn’t"), plain("two-by-six.")
    ('soffit', "doesn't", 'two-by-six')
    """
    return EDGES.sub("", text.lower().replace("’", "'"))


def plain_words(words: Sequence[Word]) -> list[str]:
    return [plain(word.text) for word in words]


@lru_cache(maxsize=65536)
def ends_sentence(text: str) -> bool:
    return bool(SENTENCE_END.search(text))


@lru_cache(maxsize=65536)
def ends_clause(text: str) -> bool:
    return bool(CLAUSE_END.search(text)) or ends_sentence(text)
