"""Files that arrive in a folder: which are complete, and which job their names point to."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from memo2list.records import Word
from memo2list.vocabulary.sounds import sound_key
from memo2list.vocabulary.spoken import spoken_cues

ENDINGS = frozenset(".wav .flac .mp3 .m4a .aac .ogg .opus .oga .amr .3gp .mp4 .m4v .mov .mkv .webm .vtt .srt".split())
START_WORDS = 80  # a job is announced at the start, within so many words
NAME_WORDS = 8
STAMPS = re.compile(
    r"(?<!\d)(19|20)\d\d[-_. ]?[01]\d[-_. ]?[0-3]\d(?!\d)|(?<!\d)\d\d[-.:h]\d\d([-.:m]\d\d)?(?!\d)|\d{6,}|\(\d+\)"
)
LITTLE_WORDS = frozenset("the a an of at for on job house place walk recording voice memo audio new note".split())


@dataclass(frozen=True, slots=True)
class Arrival:
    """A file as seen at one moment; two equal sights some time apart mean that it has stopped growing."""

    path: Path
    size: int
    changed_ns: int


def arrivals(folder: Path, more: frozenset[str] = frozenset()) -> tuple[Arrival, ...]:
    """Recordings below `folder` that are not hidden nor empty, the oldest first; with `more`, files of those endings too.

    Files that vanish meanwhile are left out.
    """
    found = []
    for path in folder.rglob("*"):
        hidden = any(part.startswith((".", "~")) for part in path.relative_to(folder).parts)
        if hidden or path.suffix.lower() not in ENDINGS | more:
            continue
        try:
            stat = path.stat()
        except FileNotFoundError:
            continue
        if stat.st_size and path.is_file():
            found.append(Arrival(path, stat.st_size, stat.st_mtime_ns))
    return tuple(sorted(found, key=lambda a: (a.changed_ns, str(a.path))))


def settled(before: Iterable[Arrival], now: Iterable[Arrival]) -> tuple[Arrival, ...]:
    """Those that did not change between two sights."""
    known = set(before)
    return tuple(a for a in now if a in known)


def spoken_job(words: Sequence[Word]) -> str:
    """The job announced at the start of a recording ("this is the job at …"), or "".

    The name ends with the statement or after eight words.
    """
    for cue in spoken_cues(words[:START_WORDS]):
        if cue.meaning == "job" and cue.about:
            said = [words[n].text for n in cue.about][:NAME_WORDS]
            name = " ".join(said).strip(" .,!?;:")
            return re.sub(r"^(the|a|an)\s+", "", name, flags=re.IGNORECASE)
    return ""


def same_job(name: str, jobs: Sequence[str]) -> str | None:
    """The one job that this name means, spelt as the job is; None if there is none or if two are equally near.

    >>> same_job("alder lane", ["Alder Lane 14", "Mill Road"]), same_job("New Recording 12", ["Alder Lane 14"])
    ('Alder Lane 14', None)
    """
    scores = sorted(((nearness(name, job), job) for job in jobs), reverse=True)
    if not scores or not scores[0][0] or (len(scores) > 1 and scores[1][0] == scores[0][0]):
        return None
    return scores[0][1]


def job_in_path(path: Path, folder: Path, jobs: Sequence[str]) -> str | None:
    """The job that the file's name or a folder above it (inside the watched one) means; None if none does."""
    parts = path.relative_to(folder).with_suffix("").parts
    for part in reversed(parts):
        found = same_job(part, jobs)
        if found:
            return found
    return None


def folder_name(path: Path, folder: Path) -> str:
    """The folder the file lies in, if it is one of its own inside the watched folder: a name for a new job. Else ""."""
    parts = path.relative_to(folder).parts
    return parts[-2] if len(parts) > 1 else ""


def nearness(name: str, job: str) -> int:
    """How near a name is to a job's: 4 the same words, 3 but for numbers, 2 the same sound, 1 one has all words of the other.

    0 means another job, as do different numbers: a recording in a job of its own does less harm than one in the wrong job.

    >>> [nearness(name, "Mill Road 7") for name in ("7 mill road", "Mill Road", "Mil Rode", "mill road attic", "Hill Road")]
    [4, 3, 2, 1, 0]
    """
    given, known = _words(name), _words(job)
    numbers, other_numbers = ({w for w in words if w[0].isdigit()} for words in (given, known))
    names, other_names = set(given) - numbers, set(known) - other_numbers
    if not names or (numbers and other_numbers and numbers != other_numbers):
        return 0
    if names == other_names:
        return 4 if numbers == other_numbers else 3
    if sound_key(" ".join(w for w in given if w in names)) == sound_key(" ".join(w for w in known if w in other_names)):
        return 2
    return int(len(names & other_names) >= 2 and (names <= other_names or other_names <= names))


def _words(name: str) -> list[str]:
    """In lower case without dates, times, copy numbers and words that say nothing about the job."""
    plain = re.sub(r"[^\w]+|_", " ", STAMPS.sub(" ", name.lower()))
    return [w for w in plain.split() if w not in LITTLE_WORDS]
