"""How a recogniser writes down what was said, so that the deep reader learns to read it.

What it does was counted on spoken walkthroughs of the training set heard with the base model: numbers from ten on
come as digits, "sink's loose" as "sinks loose", hyphens go, sentence ends and commas move, British spelling turns
American, now and then a word comes as another that sounds the same, and a trade word as everyday ones.
"""

import random
import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from memo2list.reading.numbers import ONES, TENS
from memo2list.vocabulary.sounds import word_key

WORD = re.compile(r"(\W*)(.*?)(\W*)", re.DOTALL)
SMALL = {**ONES, **TENS}
# the share of cases in which it happens
DIGITS, SMALL_DIGITS, POSSESSIVE, HYPHEN, FULL_STOP, COMMA, SAME_SOUND, DROPPED = 0.85, 0.15, 0.4, 0.6, 0.15, 0.2, 0.02, 0.004
FIXED = frozenset("it's that's there's he's she's what's let's here's who's where's".split())
AMERICAN = (
    (re.compile(r"\b(milli|centi|)metre"), r"\1meter"),
    (re.compile(r"\bgrey"), "gray"),
    (re.compile(r"\bmould"), "mold"),
    (re.compile(r"\b(colo|neighbo|favo|harbo|vapo|labo)ur"), r"\1r"),
)


@dataclass(frozen=True, slots=True)
class Spelling:
    """Words that sound the same, by how they sound: "right" and "write"."""

    alike: dict[str, tuple[str, ...]]

    def written(self, words: list[str], rng: random.Random) -> list[str]:
        """The words of one turn as they might be heard."""
        out: list[str] = []
        for word in figures(words, rng):
            if rng.random() < DROPPED and len(out):
                continue
            out += self._one(word, rng)
        return out

    def _one(self, word: str, rng: random.Random) -> list[str]:
        before, core, after = WORD.fullmatch(word).groups()  # type: ignore[union-attr]
        core = american(core)
        if core.lower().endswith("'s") and core.lower() not in FIXED and rng.random() < POSSESSIVE:
            core = core[:-2] + "s"
        others = self.alike.get(word_key(core.lower()), ())
        if others and rng.random() < SAME_SOUND:
            core = rng.choice(others)
        if "-" in core and rng.random() < HYPHEN:
            core = core.replace("-", " ")
        return f"{before}{core}{stops(after, rng)}".split()


def stops(marks: str, rng: random.Random) -> str:
    if marks in (".", "?") and rng.random() < FULL_STOP:
        return ","
    if marks == "," and rng.random() < COMMA:
        return "" if rng.random() < 0.6 else "."
    return marks


def american(word: str) -> str:
    for pattern, instead in AMERICAN:
        word = pattern.sub(instead, word)
    return word


def figures(words: list[str], rng: random.Random) -> list[str]:
    """Runs of number words as digits: "twenty-two feet" → "22 feet", "twelve-inch" → "12-inch", "two by six" mostly as it is."""
    out: list[str] = []
    for word in words:
        before, core, after = WORD.fullmatch(word).groups()  # type: ignore[union-attr]
        number, rest = leading_number(core.lower())
        if number is None or rng.random() > (DIGITS if number >= 10 else SMALL_DIGITS):
            out.append(word)
        else:
            out.append(f"{before}{number}{rest}{after}")
    return hundreds(out)


def leading_number(word: str) -> tuple[int | None, str]:
    """The number a hyphenated word begins with, and what follows it.

    >>> leading_number("twenty-two"), leading_number("twelve-inch"), leading_number("door-stop")
    ((22, ''), (12, '-inch'), (None, 'door-stop'))
    """
    parts = word.split("-")
    if len(parts) > 1 and parts[0] in TENS and ONES.get(parts[1], 10) < 10:
        number, left = TENS[parts[0]] + ONES[parts[1]], parts[2:]
    elif parts[0] in SMALL:
        number, left = SMALL[parts[0]], parts[1:]
    else:
        return None, word
    return number, "".join(f"-{part}" for part in left)


def hundreds(words: list[str]) -> list[str]:
    """The numbers that a hundred or a thousand multiplies: "22 hundred" → "2200"; "two hundred" stays."""
    out: list[str] = []
    for word in words:
        core, marks = word.rstrip(".,;:?!"), word[len(word.rstrip(".,;:?!")) :]
        if core.lower() in ("hundred", "thousand") and out and out[-1].isdigit():
            out[-1] = str(int(out[-1]) * (100 if core.lower() == "hundred" else 1000)) + marks
        else:
            out.append(word)
    return out


def spelling(docs: Iterable[dict]) -> Spelling:
    """The words of all documents, by how they sound."""
    by_sound: dict[str, dict[str, None]] = defaultdict(dict)
    for doc in docs:
        for turn in doc["turns"]:
            for word in re.findall(r"[a-z']+", turn["text"].lower()):
                by_sound[word_key(word)][word] = None
    return Spelling({sound: tuple(words) for sound, words in by_sound.items() if len(words) > 1})
