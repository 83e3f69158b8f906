"""Commands run as a user runs them, on a store of their own."""

import pytest
from click.testing import CliRunner

from memo2list.command_line import main


@pytest.fixture
def run(tmp_path):
    return lambda *words: CliRunner().invoke(main, [*(str(w) for w in words), "--store", str(tmp_path / "store")])
