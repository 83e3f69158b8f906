"""Whether a number is said: a loose check that a generated amount has its words in the evidence."""

from collections.abc import Iterator

ONES = (
    "zero one two three four five six seven eight nine ten "
    "eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen"
).split()
TENS = "zero ten twenty thirty forty fifty sixty seventy eighty ninety".split()
ALSO = {
    1: {"a", "an", "single", "this", "that", "other", "last", "first"},
    2: {"couple", "pair", "both", "double", "twice"},
    3: {"triple"},
    6: {"half"},
    12: {"dozen"},
    24: {"dozen"},
}
PARTS = frozenset("half quarter quarters third thirds eighth eighths sixteenth sixteenths hair point".split())


def number_said(value: float, said: frozenset[str]) -> bool:
    """True if the words of `value` are among `said` (hyphens opened), or its digits.

    >>> number_said(44, frozenset({"forty", "four", "inches"})), number_said(7, frozenset({"six"}))
    (True, False)
    """
    whole = int(value)
    if f"{value:g}" in said or (str(whole) in said and value == whole):
        return True
    if value != whole and not (PARTS & said):
        return False
    only_a_part = whole == 0 and value != whole
    return only_a_part or any(way <= said for way in ways(whole)) or bool(ALSO.get(whole, set()) & said)


def ways(number: int) -> Iterator[frozenset[str]]:
    """The words of a number as read out, and as people say it: "a hundred", "twelve hundred"."""
    yield words_of(number)
    if 100 <= number < 200 or 1000 <= number < 2000:
        yield words_of(number) - {"one"} | {"a"}
    if 1100 <= number < 10_000 and number // 100 % 10:
        yield words_of(number // 100) | {"hundred"} | (words_of(number % 100) if number % 100 else frozenset())


def words_of(number: int) -> frozenset[str]:
    """
    >>> sorted(words_of(238))
    ['eight', 'hundred', 'thirty', 'two']
    """
    if number >= 1000:
        return words_of(number // 1000) | {"thousand"} | (words_of(number % 1000) if number % 1000 else frozenset())
    if number >= 100:
        return words_of(number // 100) | {"hundred"} | (words_of(number % 100) if number % 100 else frozenset())
    if number < 20:
        return frozenset({ONES[number]})
    return frozenset({TENS[number // 10]} | ({ONES[number % 10]} if number % 10 else set()))
