"""How words sound: a key of rough phonemes from spelling rules, and how alike two wordings sound.

The key is made by rules, for two reasons. Pronouncing dictionaries with a permissive licence reach Python only through
packages that are copyleft (the wrapper of the best known one) or have not been kept up for years; and what is compared
here is a recogniser's spelling of a mis-hearing against trade words, both of which follow the spelling rules well.

Phonemes are one letter each: consonants as in English spelling with T for th, S for sh and zh, C for ch, J for j and
soft g, N for ng; vowels a e i o u, and U for a weak vowel before r.
"""

import re
from functools import lru_cache

RULES: tuple[tuple[re.Pattern[str], str], ...] = tuple(
    (re.compile(pattern), sound)
    for pattern, sound in (
        (r"tion|ssion|cian", "Sn"),
        (r"sion", "Sn"),
        (r"scia|shia", "Sa"),
        (r"ture\b", "CU"),
        (r"tch", "C"),
        (r"\bch(?=[rl])|ch(?=[lr])", "k"),
        (r"ch", "C"),
        (r"sch", "sk"),
        (r"sh", "S"),
        (r"\bth|th", "T"),
        (r"ph", "f"),
        (r"\bwr", "r"),
        (r"\bkn|\bgn", "n"),
        (r"\bps", "s"),
        (r"wh", "w"),
        (r"ough|augh", "of"),
        (r"igh", "i"),
        (r"gh", ""),
        (r"mb\b", "m"),
        (r"mn\b", "m"),
        (r"lk\b|lk(?=s|ed|ing)", "k"),
        (r"stle\b", "sl"),
        (r"dge", "J"),
        (r"dg(?=[iey])", "J"),
        (r"ck", "k"),
        (r"cc(?=[eiy])", "ks"),
        (r"c(?=[eiy])", "s"),
        (r"c", "k"),
        (r"qu", "kw"),
        (r"q", "k"),
        (r"x", "ks"),
        (r"g(?=e\b|es\b)", "J"),
        (r"ng(?=[aeiouy])", "ng"),
        (r"ng\b|ng(?=s\b)", "N"),
        (r"nk", "Nk"),
        (r"(?<=[aeiou])s(?=[aeiou])", "s"),
        (r"ies\b", "is"),
        (r"(?<=[aeiouwy][bcdfghjklmnprtvz])es\b", "s"),
        (r"(?<=[tdk])ed\b", "id"),
        (r"(?<=[a-zA-Z]{2})ed\b", "d"),
        (r"le\b", "l"),
        (r"les\b", "ls"),
        (r"(?<=[bcdfghjklmnpqrstvwxzCJST])e\b", ""),
        (r"ee|ea|ie|ey\b|ei", "i"),
        (r"oo|ou|ew|ue|ui", "u"),
        (r"oa|oe|ow\b|ow(?=[ntds])", "o"),
        (r"ow", "a"),
        (r"au|aw|al(?=k)", "o"),
        (r"ai|ay|ae", "e"),
        (r"oi|oy", "o"),
        (r"(?:er|ar|or|ir|ur|our|re|a)\b", "U"),
        (r"(?:er|ir|ur)(?=[b-df-hj-np-tv-z])", "U"),
        (r"y\b", "i"),
        (r"(?<=[a-zA-Z])y(?=[^aeiou]|$)", "i"),
        (r"(.)\1+", r"\1"),
    )
)
SPELLED = {
    "one": "wun",
    "two": "tu",
    "eight": "et",
    "of": "uv",
    "iron": "iUn",
    "sword": "sord",
    "sew": "so",
    "ipe": "ipe",
    "the": "Tu",
}
VOWELS = frozenset("aeiouUyw")
ALIKE = ("pb", "td", "kg", "fv", "szS", "CJSt", "mnN", "lr", "Ttfd", "bv", "wr", "hw")
LETTER = re.compile(r"[^a-z]+")


@lru_cache(maxsize=50_000)
def word_key(word: str) -> str:
    """Phonemes of one word; "" for a word without letters.

    >>> word_key("fascia"), word_key("joist"), word_key("caulk")
    ('faSU', 'Jost', 'kok')
    """
    text = LETTER.sub("", word.lower())
    if text in SPELLED:
        return SPELLED[text]
    text = text.replace("j", "J").replace("scia", "SU") if text.startswith("fasc") else text.replace("j", "J")
    for pattern, sound in RULES:
        text = pattern.sub(sound, text)
    return text


@lru_cache(maxsize=50_000)
def sound_key(text: str) -> str:
    """Phonemes of a wording, without the spaces, since a mis-hearing moves them ("saw fit", "soffit").

    >>> sound_key("hand rail") == sound_key("handrail")
    True
    """
    return re.sub(r"(.)\1+", r"\1", "".join(word_key(word) for word in text.split()))


def _cost(a: str, b: str) -> float:
    if a == b:
        return 0.0
    if a in VOWELS and b in VOWELS:
        return 0.3
    return 0.4 if any(a in group and b in group for group in ALIKE) else 1.0


def _gap(a: str) -> float:
    return 0.4 if a in VOWELS or a == "h" else 0.5 if a in "Nnrlt" else 0.8


@lru_cache(maxsize=50_000)
def key_likeness(a: str, b: str) -> float:
    """Likeness of two keys, 0..1: an edit distance in which alike sounds cost little."""
    if not a or not b:
        return 0.0
    row = [0.0]
    for sound in b:
        row.append(row[-1] + _gap(sound))
    for x in a:
        new = [row[0] + _gap(x)]
        for at, y in enumerate(b):
            new.append(min(row[at] + _cost(x, y), row[at + 1] + _gap(x), new[at] + _gap(y)))
        row = new
    return max(0.0, 1.0 - row[-1] / max(len(a), len(b)))


def likeness(a: str, b: str) -> float:
    """How alike two wordings sound, 0..1; 1 means the same sounds.

    >>> likeness("hype", "ipe") > 0.6 > likeness("window", "gutter")
    True
    """
    return key_likeness(sound_key(a), sound_key(b))
