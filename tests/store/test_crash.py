"""A process that is killed in the middle of its work loses nothing that it was told is done."""

import subprocess
import sys

from memo2list.store import open_store
from tests.store.conftest import JOB

WORKER = """
import itertools, sys
from memo2list.store import open_store
store = open_store(sys.argv[1])
for n in itertools.count(1):
    store.note(sys.argv[2], "k1", f"note {n}")
    print(n, flush=True)
"""


def test_a_killed_process_loses_no_change_that_it_was_told_is_kept(store):
    store.close()
    call = [sys.executable, "-c", WORKER, str(store.folder), JOB]
    with subprocess.Popen(call, stdout=subprocess.PIPE, text=True) as worker:
        assert worker.stdout is not None
        told = 0
        for line in worker.stdout:
            told = int(line)
            if told >= 15:
                worker.kill()
                break
        told = max([told, *(int(line) for line in worker.stdout.read().split())])
    with open_store(store.folder) as again:
        notes = [e.new for e in again.edits(JOB, "k1")]
        assert len(notes) >= told
        assert notes == [f"note {n}" for n in range(1, len(notes) + 1)]
        assert again.item(JOB, "k1").note == notes[-1]
        assert again.db.row("PRAGMA integrity_check")[0] == "ok"
