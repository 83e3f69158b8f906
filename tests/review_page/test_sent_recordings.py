"""A recording sent in over the page is heard as the commands hear: an interrupted hearing goes on, the job's words are known."""

import sys

from memo2list.review_page.sending import Inbox, Incoming, _hear
from tests.review_page.conftest import JOB


def test_what_was_heard_is_kept_and_the_words_of_the_job_are_listened_for(client, store, tmp_path, monkeypatch):
    asked = {}

    def hear(file, **options):
        asked.update(options)
        raise ZeroDivisionError

    monkeypatch.setenv("MEMO2LIST_CACHE", str(tmp_path / "cache"))
    monkeypatch.setattr(sys.modules["memo2list.hearing"], "hear", hear)
    whole = tmp_path / "walk.wav"
    whole.write_bytes(b"RIFF")
    _hear(Inbox(tmp_path), client.app.state.desk, Incoming("0" * 24, "walk.wav", 4), whole)
    assert asked["work_folder"] == tmp_path / "cache" / "unfinished"
    assert store.items(JOB)[0].element in asked["own_words"]
