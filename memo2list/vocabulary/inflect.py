"""Derived word forms: plurals, verb forms, spellings and joins, so that packs list only what cannot be derived.

Nothing here knows the trade. Irregular forms are the common ones of English; spellings are pairs of US and UK usage.
"""

from functools import lru_cache


def _set(text: str) -> frozenset[str]:
    return frozenset(text.split())


IRREGULAR_VERBS = {
    "take": ("took", "taken"),
    "put": ("put", "put"),
    "cut": ("cut", "cut"),
    "set": ("set", "set"),
    "reset": ("reset", "reset"),
    "dig": ("dug", "dug"),
    "build": ("built", "built"),
    "rebuild": ("rebuilt", "rebuilt"),
    "hang": ("hung", "hung"),
    "rehang": ("rehung", "rehung"),
    "stick": ("stuck", "stuck"),
    "sink": ("sank", "sunk"),
    "sweep": ("swept", "swept"),
    "tear": ("tore", "torn"),
    "wear": ("wore", "worn"),
    "rot": ("rotted", "rotten"),
    "break": ("broke", "broken"),
    "come": ("came", "come"),
    "go": ("went", "gone"),
    "get": ("got", "gotten"),
    "give": ("gave", "given"),
    "fall": ("fell", "fallen"),
    "run": ("ran", "run"),
    "blow": ("blew", "blown"),
    "let": ("let", "let"),
    "shut": ("shut", "shut"),
    "split": ("split", "split"),
    "bind": ("bound", "bound"),
    "grind": ("ground", "ground"),
    "find": ("found", "found"),
    "hold": ("held", "held"),
    "keep": ("kept", "kept"),
    "leave": ("left", "left"),
    "make": ("made", "made"),
    "redo": ("redid", "redone"),
    "do": ("did", "done"),
    "draw": ("drew", "drawn"),
    "drive": ("drove", "driven"),
    "eat": ("ate", "eaten"),
    "freeze": ("froze", "frozen"),
    "grow": ("grew", "grown"),
    "have": ("had", "had"),
    "lay": ("laid", "laid"),
    "lean": ("leaned", "leant"),
    "lift": ("lifted", "lifted"),
    "lose": ("lost", "lost"),
    "read": ("read", "read"),
    "rise": ("rose", "risen"),
    "see": ("saw", "seen"),
    "shake": ("shook", "shaken"),
    "shrink": ("shrank", "shrunk"),
    "sit": ("sat", "sat"),
    "spring": ("sprang", "sprung"),
    "stand": ("stood", "stood"),
    "swing": ("swung", "swung"),
    "bend": ("bent", "bent"),
    "burn": ("burned", "burnt"),
    "swell": ("swelled", "swollen"),
    "throw": ("threw", "thrown"),
    "bring": ("brought", "brought"),
    "write": ("wrote", "written"),
    "show": ("showed", "shown"),
    "think": ("thought", "thought"),
    "tell": ("told", "told"),
    "say": ("said", "said"),
    "feel": ("felt", "felt"),
    "hear": ("heard", "heard"),
    "be": ("was", "been"),
    "buy": ("bought", "bought"),
    "bid": ("bid", "bid"),
}
IRREGULAR_PLURALS = {"shelf": "shelves", "leaf": "leaves", "foot": "feet", "mouse": "mice", "loaf": "loaves", "person": "people"}
NO_PLURAL = _set("decking siding roofing flashing guttering fencing paving plaster stucco grout insulation wiring")
# US spelling, UK spelling; each is offered for the other
SPELLINGS = (
    "color colour|gray grey|mold mould|moldy mouldy|molding moulding|caulk calk|aluminum aluminium|fiber fibre|"
    "vapor vapour|odor odour|discolored discoloured|discoloration discolouration|colored coloured|curb kerb|"
    "center centre|draft draught|drafty draughty|neighbor neighbour|mortise mortice|louver louvre|louvered louvred|"
    "sill cill|fiberglass fibreglass|plow plough|story storey|anodized anodised|galvanized galvanised|"
    "sanitize sanitise|oxidized oxidised|pressurized pressurised|gauge gage|leveled levelled|leveling levelling|"
    "labeled labelled|troweled trowelled|paneled panelled|paneling panelling|miter mitre|mitered mitred|"
    "windowsill windowcill|brickmold brickmould|graying greying|stabilize stabilise"
)
SPELLING_OF: dict[str, str] = {}
for _us, _uk in (pair.split() for pair in SPELLINGS.split("|")):
    SPELLING_OF[_us], SPELLING_OF[_uk] = _uk, _us

RESPELLED_WORDS = frozenset((*SPELLING_OF, *(word + "s" for word in SPELLING_OF)))

VOWELS = "aeiou"
PARTICLES = _set("out off up down back in away over on through apart open")


@lru_cache(maxsize=20_000)
def plural(noun: str) -> str:
    """The plural of one word; words that are plural or have none come back unchanged.

    >>> plural("shelf"), plural("sash"), plural("eaves"), plural("gutter")
    ('shelves', 'sashes', 'eaves', 'gutters')
    """
    if noun in IRREGULAR_PLURALS:
        return IRREGULAR_PLURALS[noun]
    if noun in NO_PLURAL or not noun.isalpha() or (noun.endswith("s") and not noun.endswith(("ss", "us"))):
        return noun
    if noun.endswith(("s", "x", "z", "ch", "sh")):
        return noun + "es"
    if noun.endswith("y") and len(noun) > 2 and noun[-2] not in VOWELS:
        return noun[:-1] + "ies"
    return noun + "s"


def doubles(verb: str) -> bool:
    """Whether the last consonant doubles before -ed and -ing ("trim" → "trimming", not "repair")."""
    if len(verb) < 3 or verb[-1] in VOWELS + "wxyh" or verb[-2] not in VOWELS or verb[-3] in VOWELS:
        return False
    groups = sum(1 for i, c in enumerate(verb) if c in VOWELS and (i == 0 or verb[i - 1] not in VOWELS))
    return groups == 1 or verb in {"regrout", "refit", "replan", "rewrap", "unclog", "unplug", "reset", "rerun", "recap", "resod"}


def _past(verb: str) -> tuple[str, ...]:
    if verb in IRREGULAR_VERBS:
        return IRREGULAR_VERBS[verb]
    if verb.startswith("re") and verb[2:] in IRREGULAR_VERBS:
        return tuple("re" + past for past in IRREGULAR_VERBS[verb[2:]])
    if verb.endswith("e"):
        return (verb + "d",)
    if verb.endswith("y") and verb[-2:-1] not in VOWELS:
        return (verb[:-1] + "ied",)
    return (verb + verb[-1] + "ed",) if doubles(verb) else (verb + "ed",)


@lru_cache(maxsize=20_000)
def verb_forms(verb: str) -> tuple[str, ...]:
    """All forms of one verb, the bare one first.

    >>> verb_forms("scrape"), verb_forms("dig")
    (('scrape', 'scrapes', 'scraped', 'scraping'), ('dig', 'digs', 'dug', 'digging'))
    """
    if not verb.isalpha() or len(verb) < 2:
        return (verb,)
    if verb.endswith("e") and not verb.endswith(("ee", "oe", "ye")):
        ing = verb[:-1] + "ing"
    else:
        ing = verb + verb[-1] + "ing" if doubles(verb) else verb + "ing"
    third = "has" if verb == "have" else "is" if verb == "be" else plural(verb) if not verb.endswith("s") else verb + "es"
    third = {"do": "does", "go": "goes", "redo": "redoes"}.get(verb, third)
    return tuple(dict.fromkeys((verb, third, *_past(verb), ing)))


@lru_cache(maxsize=20_000)
def any_forms(word: str) -> tuple[str, ...]:
    """Noun and verb forms of one word together: what `~word` stands for in a description."""
    return tuple(dict.fromkeys((*verb_forms(word), plural(word), word)))


def respelled(tokens: tuple[str, ...]) -> tuple[tuple[str, ...], ...]:
    """The same form with US words spelled the UK way and the reverse; just itself where nothing changes.

    >>> respelled(("window", "sills"))
    (('window', 'sills'), ('window', 'cills'))
    """
    if RESPELLED_WORDS.isdisjoint(tokens):
        return (tokens,)
    return tokens, tuple(SPELLING_OF.get(t) or (SPELLING_OF[t[:-1]] + "s" if t[:-1] in SPELLING_OF else t) for t in tokens)


ADJECTIVE_ENDS = ("ed", "en", "ing", "y", "less", "ive", "able", "ous", "ful", "ish", "ant", "ent", "al")
ADJECTIVES = _set(
    "loose missing gone soft damp wet low high rough dead dull short tight uneven unlevel crooked shot bad broken bent "
    "worn torn flat sharp slack bare absent out off wrong unsafe odd cold hot hard stiff thin thick old slow bust blind "
    "adrift proud rotten open shut deep small large narrow wide steep ugly weak blunt noisy full tall fast light dark "
    "clear here there it them"
)


def noun_variants(tokens: tuple[str, ...]) -> list[tuple[str, ...]]:
    return [tokens, (*tokens[:-1], plural(tokens[-1]))]


def action_variants(tokens: tuple[str, ...]) -> list[tuple[str, ...]]:
    """The first word takes verb forms: "cut back", "cuts back", "cutting back"."""
    return [(form, *tokens[1:]) for form in verb_forms(tokens[0])]


def problem_variants(tokens: tuple[str, ...]) -> list[tuple[str, ...]]:
    """One word that is no adjective takes noun and verb forms; several words take the plural of the last."""
    last = tokens[-1]
    if last in ADJECTIVES or last.endswith(ADJECTIVE_ENDS) or last in PARTICLES:
        return [tokens]
    if len(tokens) > 1:
        return noun_variants(tokens)
    return [(form,) for form in any_forms(last)]


VARIANTS = {
    "element": noun_variants,
    "material": noun_variants,
    "place": noun_variants,
    "action": action_variants,
    "problem": problem_variants,
}
