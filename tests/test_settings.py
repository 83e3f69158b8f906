"""Settings: what is in force, and what is refused with a way out."""

import pytest

from memo2list.errors import InputError
from memo2list.settings import Settings, load_settings, page_of_locale


def written(tmp_path, text):
    path = tmp_path / "settings.toml"
    path.write_text(text)
    return path


def test_without_a_file_the_defaults_hold(tmp_path):
    found = load_settings(tmp_path / "none.toml", {})
    assert (found.model, found.reader, found.page.size) == ("base", Settings().reader, "A4")


def test_the_business_and_the_page_are_read(tmp_path):
    path = written(tmp_path, '[business]\nname = "Larkfield"\naddress = ["4 Mill Lane"]\n[page]\nsize = "Letter"\n')
    found = load_settings(path, {"LANG": "de_DE.UTF-8"})
    assert (found.business.name, found.business.address) == ("Larkfield", ("4 Mill Lane",))
    assert (found.page.size, found.page.decimal) == ("Letter", ",")


@pytest.mark.parametrize(
    "text", ["model =", 'modle = "x"', '[page]\nsize = "A7"', "business = 3", '[business]\nnmae = "x"', 'reader = "oracle"']
)
def test_a_setting_that_cannot_be_is_told_with_the_file(tmp_path, text):
    with pytest.raises(InputError, match=r"settings\.toml"):
        load_settings(written(tmp_path, text), {})


def test_paper_follows_the_country():
    assert [page_of_locale(n).size for n in ("en_US.UTF-8", "en_GB.UTF-8", "", "C.UTF-8")] == ["Letter", "A4", "A4", "A4"]
