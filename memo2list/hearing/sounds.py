"""How words sound, roughly: a key of phoneme classes for English spelling, and the distance between keys.

Good enough to propose what else could have been said; whether it was is for the recogniser to judge.
Spelling rules from memory of common English orthography; no dictionary is used.
"""

import re
from functools import lru_cache

# applied in order to a lower-case word; capitals are sounds that are done with
RULES: tuple[tuple[re.Pattern[str], str], ...] = tuple(
    (re.compile(pattern), sound)
    for pattern, sound in (
        (r"^(kn|gn|pn)", "N"),
        (r"^wr", "R"),
        (r"^wh", "W"),
        (r"^ps", "S"),
        (r"^x", "Z"),
        (r"(.)\1", r"\1"),
        (r"tch|t(?=u[rl])", "C"),
        (r"(?<=[aeiou])ti(?=o|a)|ci(?=o|a)|si(?=on)|(?<=[a-z])ti(?=on)", "X"),
        (r"sch", "SK"),
        (r"sh", "X"),
        (r"ch", "C"),
        (r"ph", "F"),
        (r"th", "T"),
        (r"augh|ough", "O"),
        (r"igh", "Y"),
        (r"gh", ""),
        (r"dge|dg|g(?=[eiy])|j", "J"),
        (r"x", "KS"),
        (r"ck|q", "K"),
        (r"c(?=[eiy])", "S"),
        (r"c|k", "K"),
        (r"(?<=[aeiou])s(?=[aeiou])|z", "Z"),
        (r"mb$", "M"),
        (r"(?<=.)stle", "SL"),
        (r"(?<=.)le(s?)$", r"L\1"),
        (r"(?<=[^aeiouylr])(e)(s?)$", r"\2"),
        (r"(?<=.[^aeiouy])es?$", ""),
        (r"ee|ea|ie|ei|ey$|y$|ia|i(?=[aeou])", "I"),
        (r"ai|ay|ei", "E"),
        (r"oi|oy", "OI"),
        (r"ou|ow|au|aw|oa|oe", "O"),
        (r"oo|ew|ue|ui|eu", "U"),
        (r"er|ir|ur|or|ar|re$", "AR"),
        (r"y|i", "I"),
        (r"e", "E"),
        (r"a|u", "A"),
        (r"o", "O"),
        (r"w", "W"),
        (r"v", "V"),
        (r"h", "H"),
    )
)
LIKE = {frozenset(pair) for pair in ("TD", "SZ", "FV", "PB", "KG", "CX", "CJ", "MN", "XS", "RL", "XJ")}
VOWELS = frozenset("AEIOUY")


@lru_cache(maxsize=65_536)
def sound_key(word: str) -> str:
    """Sounds of one word as capital letters.

    >>> sound_key("soffit"), sound_key("saw"), sound_key("fit")
    ('SOFIT', 'SO', 'FIT')
    >>> sound_key("newel") == sound_key("newle")
    False
    """
    key = re.sub(r"[^a-z]", "", word.lower().removesuffix("'s"))
    for pattern, sound in RULES:
        key = pattern.sub(sound, key)
    return re.sub(r"(.)\1+", r"\1", key.upper())


def distance(one: str, other: str, most: float = 9.0) -> float:
    """Edits between two sound keys: 1 for a consonant, less for a vowel or a like sound.

    >>> distance("SOFIT", "SOFIT"), distance("PAT", "BAT")
    (0.0, 0.4)
    """
    before = [0.0]
    for sound in other:
        before.append(before[-1] + _gap(sound))
    for sound in one:
        row = [before[0] + _gap(sound)]
        for number, with_sound in enumerate(other):
            row.append(
                min(before[number + 1] + _gap(sound), row[-1] + _gap(with_sound), before[number] + _swap(sound, with_sound))
            )
        if min(row) > most:
            return most + 1
        before = row
    return before[-1]


def _gap(sound: str) -> float:
    return 0.4 if sound in VOWELS or sound == "H" else 0.8


def _swap(one: str, other: str) -> float:
    if one == other:
        return 0.0
    if one in VOWELS and other in VOWELS:
        return 0.25
    return 0.4 if frozenset((one, other)) in LIKE else 1.0
