"""Finds the forms of one compiled set in the tokens of a passage."""

from dataclasses import dataclass
from typing import Any

from memo2list.vocabulary.compiled import HOWS
from memo2list.vocabulary.patterns import Pattern, compile_pattern, match_at
from memo2list.vocabulary.tokens import Tokens

END = ""
Pieces = tuple[tuple[int, int], ...]
Node = dict[str, Any]  # next token → node; "" → forms that end here, as (number, how, form)


@dataclass(slots=True)
class Hit:
    """A form seen at some tokens, before it is decided whether it counts."""

    start: int  # tokens, not words
    stop: int
    number: int  # of the entry or cue phrase
    how: str
    form: str
    inner: Pieces = ()
    score: float = 0.0  # likeness, for near misses


def unfold(lines: str, listed: list[str]) -> Node:
    """The trie of the forms that begin with one token."""
    root: Node = {}
    for line in lines.split("\n"):
        rest, number, how, form = line.split("|")
        node = root
        for token in rest.split():
            node = node.setdefault(token, {})
        node.setdefault(END, []).append((int(number), HOWS[int(how)], listed[int(form)]))
    return root


class Finder:
    """Finds all forms and patterns of a compiled set."""

    def __init__(self, compiled: dict[str, Any], groups: dict[str, list[str]]):
        self._groups = groups
        self._table: dict[str, str] = compiled["forms"]
        self._listed: list[str] = compiled["listed"]
        self._rows: list[Any] = compiled["patterns"]
        self._first: dict[str, list[int]] = compiled["first"]
        self._nodes: dict[str, Node] = {}
        self._words: set[str] = set()
        self._patterns: dict[int, tuple[int, str, Pattern, tuple[frozenset[str], ...]]] = {}

    def begins(self, token: str) -> bool:
        """Whether any form begins with this token."""
        return token in self._table

    def is_word(self, token: str) -> bool:
        """Whether the token stands anywhere in a listed form."""
        if not self._words:
            self._words = {
                word for lines in self._table.values() for line in lines.split("\n") for word in line.split("|")[0].split()
            }
            self._words |= set(self._table)
        return token in self._words

    def all_forms(self) -> list[tuple[tuple[str, ...], int, str]]:
        """Every form as (tokens, number of its entry, how); slow, for tools and for sounds."""
        found = []
        for token, lines in self._table.items():
            for line in lines.split("\n"):
                rest, number, how, _ = line.split("|")
                found.append(((token, *rest.split()), int(number), HOWS[int(how)]))
        return found

    def hits(self, tokens: Tokens) -> list[Hit]:
        """Every form at every token, by start."""
        found: list[Hit] = []
        said = set(tokens.texts)
        for start, token in enumerate(tokens.texts):
            if token in self._table:
                self._walk(token, tokens, start, found)
            for number in self._first.get(token, ()):
                self._try_pattern(number, tokens, start, said, found)
        return found

    def _walk(self, token: str, tokens: Tokens, start: int, found: list[Hit]) -> None:
        node: Node | None = self._nodes.get(token)
        if node is None:
            node = self._nodes[token] = unfold(self._table[token], self._listed)
        texts, breaks, at = tokens.texts, tokens.breaks, start + 1
        while node is not None:
            for number, how, form in node.get(END, ()):
                found.append(Hit(start, at, number, how, form))
            if at >= len(texts) or breaks[at - 1]:
                return
            node = node.get(texts[at])
            at += 1

    def _try_pattern(self, number: int, tokens: Tokens, start: int, said: set[str], found: list[Hit]) -> None:
        row = self._patterns.get(number)
        if row is None:
            entry, how, text = self._rows[number]
            pattern = compile_pattern(text, self._groups)
            row = self._patterns[number] = (entry, how, pattern, pattern.later_tokens)
        for needed in row[3]:
            if needed.isdisjoint(said):
                return
        matched = match_at(row[2], tokens, start)
        if matched:
            stop, inner = matched
            found.append(Hit(start, stop, row[0], row[1], row[2].text, inner))
