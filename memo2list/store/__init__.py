"""What is kept: jobs, recordings with their original files, transcripts, lists, and every edit.

    store = open_store(folder)                      # SQLite in WAL with synchronous=FULL, and originals/ beside it
    store.add_job("mill-lane-4", customer="K. Holm", address="4 Mill Lane")     # JobExistsError
    store.keep_recording("mill-lane-4", path, transcript)                       # copies the original, by its hash
    report = store.save_list("mill-lane-4", punch_list)                         # new, gone and changed keys

    store.jobs()                        -> tuple[Job, ...]              newest first, with counts
    store.job(name)                     -> Job                          UnknownJobError with near names
    store.recordings(job)               -> tuple[KeptRecording, ...]    .recording, .file (path of the original)
    store.transcripts(job)              -> tuple[Transcript, ...]       the latest of each recording
    store.punch_list(job)               -> PunchList                    current: edits applied
    store.items(job)                    -> tuple[Item, ...]             current, dropped ones among them (item.review)
    store.item(job, key_or_number)      -> Item                         UnknownItemError
    store.edits(job, key=None)          -> tuple[Edit, ...]             all rows in order, undone ones too

    store.attach(job, key, file) / store.pictures(job)                          pictures; key "" goes by the time taken
    store.give_picture(job, number, key)                                        to an item by hand; "" back to its time
    store.set_clock(job, camera, offset_ms) / store.clocks(job)                 for a camera whose clock was wrong
    store.set_start(job, sha256, started_ms, by)                                when a recording began
    store.remove_job(name)                                                      completely, with its recordings

Changes. Each appends one row and returns the current items; `who` may be "". Items are named by `Item.key`.

    store.edit(job, key, field, expected, new, who)     one field of EDITABLE; StaleEditError if it is not `expected` now
    store.keep(job, key, who) / drop(job, key, why, who) / undrop(job, key, who)
    store.merge(job, key, others, who)                  the others' words, measures and quotes move into `key`
    store.split(job, key, quotes, fields, who)          a new item with these quotes (by position) and fields
    store.move(job, key, after, who)                    to the place after the item `after` ("" = to the front)
    store.add_item(job, fields, who)                    an item of the reviewer's own: at least title or element
    store.note(job, key, text, who) / set_state(job, key, "open" | "done", who)
    store.set_office_state(job, key, "open" | "done", who)      a question for the office, by office.office_key(question)
    store.name_speakers(job, sha256, {label: name}, who)        who A, B, … of a recording are; changes `by` of its items
    store.undo(job, who) / redo(job, who)               the latest change of the job; NothingToUndoError
    with store.together(): …                            several changes that are one: all or none, and one undo

Search. `Results.found` are `Found` with job, number, title, its best quote with time, and what to mark in it.

    store.search(text, Filters(...), limit, offset)     any text gives results or none
    store.history(by, least)                            what recurs; `by` is one of history.BY
    store.similar(job, key, limit=3, other_jobs=True)   "seen before"

Values of fields are those of `records.Item`: text, tuples of text, tuples of Quantity. Numbers of items stay what they
were: a number once printed keeps meaning the same line. When a job is heard or read again, decisions stay with their
items: an item is the same if its key is, or if it is about the same element and overlaps in time; what people worked on
and reading no longer finds is kept, with the flag "gone". A store may be used from several threads and processes.
"""

from memo2list.store.store import Store, open_store

__all__ = ["Store", "open_store"]
