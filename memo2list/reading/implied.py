"""Problems and actions that are not said in words: "the other one's the same", "does the fan run?" "nope".

A likeness takes over what was just said of something else; a question about what a thing should do, or should have,
becomes the fault when it is answered no. Both are marked `how="implied"` and weigh what the fitted judges found them worth.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from memo2list.reading.assertions import cues_on, decide
from memo2list.reading.exchanges import Exchange
from memo2list.reading.mentions import Known
from memo2list.reading.scene import Stage, with_known
from memo2list.records import LISTED, Mention, Transcript, WordRange
from memo2list.vocabulary.entries import Matcher

ALIKE_AFTER_SAME = frozenset(
    "again thing deal story fix here there problem treatment issue trouble way as with on for in goes".split()
)
LIKENESSES = (("so", "is"), ("so", "are"), ("so", "does"), ("so's",), ("ditto",), ("likewise",), ("same",))
LOOK_BACK = 6  # passages in which what was said is looked for
LOOK_BACK_WORDS = 90
MOST = 2  # problems and as many actions that one likeness takes over
NEGATIVE = {
    "does": "doesn't", "do": "don't", "did": "doesn't", "is": "isn't", "are": "aren't", "was": "isn't", "will": "won't",
    "would": "won't", "can": "can't", "could": "can't", "has": "hasn't", "have": "haven't",
}  # fmt: skip
ASKED_BY = 4  # words of a question among which its verb stands
LONGEST_FAULT = 5  # words of a question that may make up a fault
NO_REPLIES = frozenset("no nope nah never not none barely hardly doesn't isn't won't can't don't neither".split())
OF_ONESELF = frozenset("i we you don't".split())  # "I don't know", "we can't tell", "don't worry" answer nothing
LEADS = frozenset(
    "so and then just a an the one two three four five six seven eight some maybe okay right bit of couple pair few yeah "
    "well plus also only probably i'd say um uh longer proper decent heavier bigger another".split()
)
VERBS = frozenset(
    "is are was were be been being am has have had do does did will would can could should might may must shall get gets got "
    "go goes gone went come comes came look looks see know think want wants need needs like say said make makes put keep it "
    "it's that's there's they're i'm you're he's she's they you he she we i'll we'll i'd i there what where who how why if "
    "not no don't doesn't isn't won't can't".split()
)
NAMED_WITHIN = 4  # words in which a remedy that is only named must begin
SHORT = 14  # words of a passage that only names something
HAVING = (("is", "there"), ("are", "there"), ("was", "there"), ("do", "you", "have"), ("have", "you"), ("does", "it", "have"))
SOME = frozenset("a an any no".split())


def with_implied(
    transcript: Transcript, stages: Sequence[Stage], exchanges: Sequence[Exchange], lexicon: Matcher
) -> tuple[Stage, ...]:
    """The passages with what they imply added to what they say; linear in the passages."""
    out: list[Stage] = []
    for stage, exchange in zip(stages, exchanges, strict=True):
        more = [] if exchange.asks else [*likenesses(transcript, out, stage)]  # "so is this one painted too?" says nothing yet
        more += denied(stages, stage, exchange, lexicon)
        more += [] if exchange.asks else named_only(out, stage, lexicon)
        out.append(with_known(stage, more) if more else stage)
    return tuple(out)


def likenesses(transcript: Transcript, earlier: Sequence[Stage], stage: Stage) -> Iterator[Known]:
    """What was said of the thing before, where this passage says that another is the same."""
    words = likeness(stage)
    if words is None:
        return
    for kind in ("problem", "action"):
        if not any(k.kind == kind and k.mention.how != "unlisted" for k in stage.claims):
            yield from (taken_over(k, words) for k in last_said(transcript, earlier, stage, kind))


def likeness(stage: Stage) -> WordRange | None:
    """The words that say "the same", None if there are none."""
    said = stage.said
    for n in range(len(said)):
        for phrase in LIKENESSES:
            if said[n : n + len(phrase)] == phrase:
                stop = n + len(phrase)
                follows = said[stop] if stop < len(said) else ""
                if phrase != ("same",) or not follows or follows in ALIKE_AFTER_SAME:
                    return WordRange(stage.words.first + n, stage.words.first + stop)
    return None


def last_said(transcript: Transcript, earlier: Sequence[Stage], stage: Stage, kind: str) -> tuple[Known, ...]:
    """The last problems (or actions) said before and not denied, from one passage."""
    for before in reversed(earlier[max(0, len(earlier) - LOOK_BACK) :]):
        if stage.words.first - before.words.stop > LOOK_BACK_WORDS:
            break
        of_kind = [k for k in before.claims if k.kind == kind]
        standing = [k for k in of_kind if decide(cues_on(transcript, before.cues, k.words)).status in LISTED]
        if standing:
            listed = [k for k in standing if k.mention.how != "unlisted"] or standing
            return tuple(listed[-MOST:])
    return ()


def taken_over(known: Known, words: WordRange) -> Known:
    return Known(replace(known.mention, words=words, how="implied"), known.entry, (words,))


def denied(stages: Sequence[Stage], stage: Stage, exchange: Exchange, lexicon: Matcher) -> Iterable[Known]:
    """The fault that a question names once it is answered no: "does it latch?" "no" → does not latch."""
    if not exchange.asks or exchange.open_question or not answered_no(stages, stage, exchange):
        return ()
    having = next((n for n in range(min(len(stage.said), ASKED_BY)) for h in HAVING if stage.said[n : n + len(h)] == h), None)
    return fault_of(stage, lexicon) if having is None else absent(stage, having, lexicon)


def answered_no(stages: Sequence[Stage], stage: Stage, exchange: Exchange) -> bool:
    following = stages[stage.number + 1] if stage.number + 1 < len(stages) else None
    said = following.said[:2] if following is not None else ()
    opens = bool(NO_REPLIES & set(said)) and said[0] not in OF_ONESELF
    return opens or ("no" in exchange.replies and "yes" not in exchange.replies)


def fault_of(stage: Stage, lexicon: Matcher) -> Iterator[Known]:
    """The question's own words, denied, as the lexicon knows them."""
    said = stage.said
    verb = next((n for n, w in enumerate(said[:ASKED_BY]) if w in NEGATIVE), None)
    if verb is None:
        return
    for start in range(verb + 1, len(said)):
        words = [NEGATIVE[said[verb]], *said[start : start + LONGEST_FAULT]]
        for match in lexicon.find(words):
            if match.entry.kind == "problem" and match.start == 0 and match.stop > 1 and match.how != "sound-alike":
                at = WordRange(stage.words.first + start, stage.words.first + start + match.stop - 1)
                yield Known(Mention("problem", match.entry.name, at, "implied"), match.entry, (at,))
                return


def absent(stage: Stage, having: int, lexicon: Matcher) -> Iterator[Known]:
    """ "Is there a fan in here?" "No.": the first part asked for is missing."""
    entry, said = lexicon.entry("problem", "missing"), stage.said
    for element in stage.elements if entry else ():
        at = element.words.first - stage.words.first
        if entry and SOME & set(said[max(having, at - 2) : at]):
            words = WordRange(stage.words.first + having, max(element.words.first, stage.words.first + having + 1))
            yield Known(Mention("problem", entry.name, words, "implied"), entry, (words,))
            return


def named_only(earlier: Sequence[Stage], stage: Stage, lexicon: Matcher) -> Iterator[Known]:
    """ "Gravel board along the bottom." said after a fault, without a verb: it is to be put in."""
    entry = lexicon.entry("action", "install")
    if entry is None or stage.claims or len(stage.said) > SHORT or VERBS & set(stage.said[:SHORT]):
        return
    if not any(k.kind == "problem" for before in earlier[-2:] for k in before.claims):
        return
    for known in stage.known:
        at = known.words.first - stage.words.first
        if known.kind in ("element", "material") and at < NAMED_WITHIN and set(stage.said[:at]) <= LEADS:
            said = " ".join(stage.said[at : known.words.stop - stage.words.first])
            yield Known(Mention("action", entry.name, known.words, "implied", 0.6, said), entry, (known.words,))
            return
