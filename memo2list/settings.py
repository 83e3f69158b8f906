"""What the user sets once: whose business it is, how dates and pages look, which model and reader to use.

Read from `settings.toml` in the platform's folder for settings, or from the file that MEMO2LIST_SETTINGS names. A missing
file means the defaults. `memo2list settings` prints where the file is looked for and what is in force.

    reader = "quick"            # quick, deep or both; left out: both where the deep reader is here
    [business]
    name = "Larkfield Repairs"
    address = ["4 Mill Lane", "Larkfield"]
    contact = "office@example.org"
    closing = "Thank you for walking the house with us."
    [page]
    size = "A4"                 # A4 or Letter
    dates = "day-month"         # day-month, month-day or iso
    decimal = "."               # "." or ","
"""

import os
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Any

from memo2list.errors import InputError

STORE_VARIABLE = "MEMO2LIST_STORE"
SETTINGS_VARIABLE = "MEMO2LIST_SETTINGS"
READERS = ("quick", "deep", "both")
PAGE_SIZES = ("A4", "Letter")
DATE_STYLES = ("day-month", "month-day", "iso")
DECIMAL_MARKS = (".", ",")
LETTER_COUNTRIES = frozenset(["US", "CA", "MX", "PH", "CL", "CO", "VE"])  # CLDR, territories whose paper is Letter
COMMA_LANGUAGES = frozenset("de fr es it nl pl pt sv da nb fi cs ru tr".split())  # CLDR, decimal mark "," (common ones)


@dataclass(frozen=True, slots=True)
class Business:
    """Whose sheets these are; everything may be left empty."""

    name: str = ""
    address: tuple[str, ...] = ()
    contact: str = ""
    closing: str = ""


@dataclass(frozen=True, slots=True)
class PageStyle:
    """Paper, dates and numbers."""

    size: str = "A4"
    dates: str = "day-month"
    decimal: str = "."


@dataclass(frozen=True, slots=True)
class Settings:
    business: Business = Business()
    page: PageStyle = field(default_factory=PageStyle)
    model: str = "base"
    reader: str = ""  # both where the deep reader is on this machine, else quick


def settings_file() -> Path:
    """Where the settings are looked for; it need not exist."""
    named = os.environ.get(SETTINGS_VARIABLE)
    if named:
        return Path(named)
    import platformdirs

    return Path(platformdirs.user_config_dir("memo2list", appauthor=False)) / "settings.toml"


def store_folder(given: Path | str | None = None) -> Path:
    """The folder of the store: the one given, the one in MEMO2LIST_STORE, or the platform's data folder."""
    named = given or os.environ.get(STORE_VARIABLE)
    if named:
        return Path(named)
    import platformdirs

    return Path(platformdirs.user_data_dir("memo2list", appauthor=False))


def load_settings(path: Path | None = None, environment: Mapping[str, str] = os.environ) -> Settings:
    """The settings in force. Raises InputError for a file that cannot be read or says something we do not know."""
    path = path or settings_file()
    page = page_of_locale(environment.get("LC_ALL") or environment.get("LC_TIME") or environment.get("LANG") or "")
    try:
        given = tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return Settings(page=page)
    except (OSError, ValueError) as error:
        raise InputError(
            path, f"cannot be read as TOML ({error}).", "Put it right, or move it away to use the defaults."
        ) from None
    return _from_table(path, given, page)


def page_of_locale(name: str) -> PageStyle:
    """Paper, dates and numbers usual where a locale such as "en_US.UTF-8" is used.

    >>> page_of_locale("en_US.UTF-8").size, page_of_locale("de_DE").decimal, page_of_locale("C").dates
    ('Letter', ',', 'iso')
    """
    language, _, country = name.split(".")[0].partition("_")
    if not country:
        return PageStyle(dates="iso" if language in ("C", "POSIX", "") else "day-month")
    return PageStyle(
        "Letter" if country in LETTER_COUNTRIES else "A4",
        "month-day" if country == "US" else "iso" if country == "CA" else "day-month",
        "," if language in COMMA_LANGUAGES and country not in ("MX", "CH") else ".",
    )


def _from_table(path: Path, given: Mapping[str, Any], page: PageStyle) -> Settings:
    _refuse_unknown(path, given, ("business", "page", "model", "reader"))
    business, paper = given.get("business", {}), given.get("page", {})
    _refuse_unknown(path, business, [f.name for f in fields(Business)])
    _refuse_unknown(path, paper, [f.name for f in fields(PageStyle)])
    address = business.get("address", ())
    lines = (address,) if isinstance(address, str) else tuple(str(line) for line in address)
    return Settings(
        Business(str(business.get("name", "")), lines, str(business.get("contact", "")), str(business.get("closing", ""))),
        PageStyle(
            _one_of(path, "page.size", paper.get("size", page.size), PAGE_SIZES),
            _one_of(path, "page.dates", paper.get("dates", page.dates), DATE_STYLES),
            _one_of(path, "page.decimal", paper.get("decimal", page.decimal), DECIMAL_MARKS),
        ),
        str(given.get("model", "base")),
        _one_of(path, "reader", given["reader"], READERS) if "reader" in given else "",
    )


def _refuse_unknown(path: Path, table: Any, known: Any) -> None:
    if not isinstance(table, Mapping):
        raise InputError(path, "has a value where a [table] belongs.", f"Known are {', '.join(known)}.")
    for name in table:
        if name not in known:
            raise InputError(path, f"says {name!r}, which is no setting.", f"Known are {', '.join(known)}.")


def _one_of(path: Path, name: str, value: object, known: tuple[str, ...]) -> str:
    if value not in known:
        raise InputError(path, f"sets {name} to {value!r}.", f"Choose one of: {', '.join(known)}.")
    return str(value)
