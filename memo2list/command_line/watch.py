"""`memo2list watch`: recordings that arrive in a folder find their job by themselves."""

import json
import os
import time
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from memo2list.command_line.stores import opened, store_option
from memo2list.errors import InputError
from memo2list.settings import READERS, load_settings

if TYPE_CHECKING:
    from memo2list.hearing.capture_arrivals import Arrival
    from memo2list.records import Transcript
    from memo2list.store import Store

Listen = Callable[[Path, Sequence[str]], "Transcript"]  # file, words likely to be said
NOTES = "watched.json"


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--once", is_flag=True, help="Take in what is there, then stop; for schedulers.")
@click.option(
    "--settle", type=click.FloatRange(min=0), default=5.0, show_default=True, help="Seconds a file must stay unchanged."
)
@click.option("--model", help="Name of the speech model, or a folder that holds one.")
@click.option("--reader", type=click.Choice(READERS), help="Who reads the words.")
@store_option
def watch(folder: Path, once: bool, settle: float, model: str | None, reader: str | None, store_at: Path | None) -> None:
    """Take in recordings and pictures that arrive in FOLDER and the folders inside it; one line for each.

    The job is the one announced at the start of the recording ("this is the job at ..."), else the one that the file or its
    folder is named after, else a new one with the date. A picture goes to the job that its folder is named after, else to
    the one whose recording ran when it was taken. Files are copied into the store and never changed or removed.
    """
    if not folder.is_dir():
        raise InputError(folder, "is not a folder.", "Make it, or name the one your phone copies its recordings to.")
    settings = load_settings()
    with opened(store_at) as store:
        watcher = Watcher(store, folder.resolve(), listener(model or settings.model), reader or settings.reader)
        watcher.look(settle)
        while not once:
            watcher.look(settle)


def listener(model: str) -> Listen:
    """Hears files; the lexicon and the model are loaded when the first one comes."""
    from memo2list.command_line.extract import model_of
    from memo2list.hearing import hear, unfinished_folder
    from memo2list.vocabulary.lexicon import load_lexicon

    name, weights = model_of(model)

    def listen(file: Path, own_words: Sequence[str]) -> "Transcript":
        return hear(
            file,
            weights=weights,
            model=name,
            lexicon=load_lexicon(),
            own_words=own_words,
            work_folder=unfinished_folder(),
        )

    return listen


class NoJobError(Exception):
    """No job, or more than one, is known for a picture; the message says why."""


class Watcher:
    """Looks into one folder again and again; what it has dealt with is noted in the store's folder."""

    def __init__(self, store: "Store", folder: Path, listen: Listen, reader: str, say: Callable[[str], None] = click.echo):
        self.store, self.folder, self.listen, self.reader, self.say = store, folder, listen, reader, say
        self.notes = Notes(store.folder / NOTES)
        self.waiting: dict[Arrival, object] = {}  # pictures without a job, and what was known when they were looked at

    def look(self, settle: float, wait: Callable[[float], None] = time.sleep) -> None:
        """Waits `settle` seconds and takes in what did not change meanwhile and is not known."""
        from memo2list.hearing.capture_arrivals import arrivals, settled
        from memo2list.store.pictures import ENDINGS

        before = arrivals(self.folder, ENDINGS)
        wait(max(settle, 0.05))
        found = [a for a in settled(before, arrivals(self.folder, ENDINGS)) if a not in self.notes]
        for arrival in (a for a in found if a.path.suffix.lower() not in ENDINGS):
            self.tell(arrival, self.take(arrival.path))
            self.notes.add(arrival)
        self.look_at_pictures([a for a in found if a.path.suffix.lower() in ENDINGS])

    def look_at_pictures(self, pictures: "Iterable[Arrival]") -> None:
        """Takes pictures in after the recordings of the same look. One without a job waits for the recordings to come."""
        known = (tuple((j.name, j.recordings) for j in self.store.jobs()), self.store.runs())
        for arrival in pictures:
            if self.waiting.get(arrival) == known:
                continue
            try:
                told = self.take_picture(arrival.path)
            except NoJobError as error:
                if arrival not in self.waiting:
                    self.tell(arrival, f"waits here: {error}. A folder named after its job would tell, too.")
                self.waiting[arrival] = known
                continue
            self.tell(arrival, told)
            self.notes.add(arrival)

    def tell(self, arrival: "Arrival", told: str) -> None:
        self.say(f"{arrival.path.relative_to(self.folder)}: {told}")

    def take(self, path: Path) -> str:
        """Takes one file in, and says in a few words what became of it."""
        from memo2list.hearing.hear import sha256_of
        from memo2list.pipeline import keep_recording

        try:
            known = self.job_with(sha256_of(path))
            if known:  # perhaps cut off before its list was made
                self.list_again(known)
                return f"is in job {known!r} already."
            transcript = self.listen(path, self.words_for(path))
            job = self.job_for(path, transcript)
            keep_recording(self.store, job, path, transcript)
            self.list_again(job)
        except InputError as error:
            return f"left out: {error.what} {error.remedy}"
        except FileNotFoundError:
            return "went away before it was taken in."
        return f"added to job {job!r}, {self.store.job(job).items} items."

    def take_picture(self, path: Path) -> str:
        """Takes one picture in, and says in a few words what became of it. Raises NoJobError if no job is known for it."""
        from memo2list.command_line.lists import fate, look_at
        from memo2list.hearing.hear import sha256_of

        try:
            look_at(path)
            known = self.store.jobs_with_picture(sha256_of(path))
            if known:
                return f"is in job {known[0]!r} already."
            job = self.job_of_picture(path)
            number = self.store.attach(job, "", path)
        except InputError as error:
            return f"left out: {error.what} {error.remedy}"
        except FileNotFoundError:
            return "went away before it was taken in."
        kept = next(p for p in self.store.pictures(job) if p.number == number)
        item = next((i for i in self.store.items(job) if i.key == kept.key), None)
        return f"added to job {job!r}, {fate(kept, item)}"

    def job_of_picture(self, path: Path) -> str:
        """The job that the path means, else the one whose recording ran when the picture was taken."""
        from memo2list.hearing.capture_arrivals import job_in_path
        from memo2list.store.picture_times import picture_time

        named = job_in_path(path, self.folder, [j.name for j in self.store.jobs()])
        if named:
            return named
        taken = picture_time(path)
        found = self.store.jobs_then(taken)
        if len(found) == 1:
            return found[0]
        if taken.taken_ms is None:
            raise NoJobError("the file does not say when it was taken")
        raise NoJobError(f"it could be of {' or '.join(map(repr, found))}" if found else "no recording ran when it was taken")

    def job_with(self, sha256: str) -> str | None:
        return next((j.name for j in self.store.jobs() if self.store.has_recording(j.name, sha256)), None)

    def words_for(self, path: Path) -> tuple[str, ...]:
        """Words to listen for: names of all jobs, since one may be announced, and more of the job that the path means."""
        from memo2list.hearing.capture_arrivals import job_in_path
        from memo2list.pipeline import words_of

        jobs = [j.name for j in self.store.jobs()]
        return (*words_of(load_settings(), self.store, job_in_path(path, self.folder, jobs) or ""), *jobs)

    def job_for(self, path: Path, transcript: "Transcript") -> str:
        """The job that the recording belongs to, made if it is not there."""
        from memo2list.hearing.capture_arrivals import folder_name, job_in_path, same_job, spoken_job

        jobs = [j.name for j in self.store.jobs()]
        spoken = spoken_job(transcript.words)
        known = same_job(spoken, jobs) or (None if spoken else job_in_path(path, self.folder, jobs))
        if known:
            return known
        day = datetime.fromtimestamp(path.stat().st_mtime).strftime("%Y-%m-%d")
        name = spoken or folder_name(path, self.folder) or f"Walk {day}"
        if name not in jobs:
            self.store.add_job(name)
        return name

    def list_again(self, job: str) -> None:
        from memo2list.pipeline import list_transcripts

        self.store.save_list(job, list_transcripts(self.store.transcripts(job), reader=self.reader))


class Notes:
    """Files that were dealt with, by path, size and time of change; kept through restarts. A damaged note file means none."""

    def __init__(self, file: Path):
        self.file = file
        try:
            self._known = {tuple(row) for row in json.loads(file.read_text(encoding="utf-8"))}
        except (FileNotFoundError, ValueError, TypeError):
            self._known = set()

    def __contains__(self, arrival: "Arrival") -> bool:
        return (str(arrival.path), arrival.size, arrival.changed_ns) in self._known

    def add(self, arrival: "Arrival") -> None:
        self._known.add((str(arrival.path), arrival.size, arrival.changed_ns))
        partial = self.file.with_suffix(".part")
        partial.write_text(json.dumps(sorted(self._known)), encoding="utf-8")
        os.replace(partial, self.file)
