"""Nothing in a file we write may run, and no file is half written.

Cells: OWASP ASVS 5.0, 1.2.10 and CWE-1236 (a text that begins with = + - @ tab, return or NUL gets a leading quote).
Names: Microsoft, "Naming Files, Paths, and Namespaces" (reserved names and characters); POSIX forbids / and NUL.
"""

import os
import re
import tempfile
from pathlib import Path
from typing import TypeVar, cast

from memo2list.errors import InputError

BEGINS_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\0", "＝", "＋", "－", "＠")
NOT_IN_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")  # XML 1.0, production 2 (Char)
NOT_IN_NAMES = re.compile(r'[<>:"/\\|?*\x00-\x1f\x7f]+')
RESERVED = re.compile(r"(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])(\..*)?", re.IGNORECASE)
LONGEST_NAME = 80
Value = TypeVar("Value", bound="str | int | float")


def safe_cell(value: Value) -> Value:
    """Text that a spreadsheet will show and not run; numbers stay numbers.

    >>> safe_cell("=1+1"), safe_cell("-2 in low"), safe_cell(-2), safe_cell("rot")
    ("'=1+1", "'-2 in low", -2, 'rot')
    """
    if isinstance(value, str) and value.lstrip(" \u200b\ufeff").startswith(BEGINS_FORMULA):
        return cast(Value, "'" + value.replace("\0", ""))
    return cast(Value, value.replace("\0", "")) if isinstance(value, str) else value


def xml_text(text: str) -> str:
    """Text without the characters that XML 1.0 forbids."""
    return NOT_IN_XML.sub("", text)


def safe_name(text: str, otherwise: str = "list") -> str:
    """A file name (without ending) that every platform takes.

    >>> safe_name("12/3 Mill Lane: porch?"), safe_name("con"), safe_name("..")
    ('12 3 Mill Lane porch', 'con list', 'list')
    """
    name = NOT_IN_NAMES.sub(" ", text.encode("utf-8", "ignore").decode())
    name = " ".join(name.split())[:LONGEST_NAME].strip(". ")
    if not name:
        return otherwise
    return f"{name} {otherwise}" if RESERVED.fullmatch(name) else name


def write_whole(path: Path, data: bytes, *, force: bool = False) -> None:
    """Writes the file whole or not at all; an existing one is kept unless `force`. Raises InputError."""
    if path.is_dir():
        raise InputError(path, "is a folder.", "Give the name of a file in it.")
    if path.exists() and not force:
        raise InputError(path, "exists already.", "Choose another name, or say --force to replace it.")
    try:
        _replace(path, data)
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise InputError(path, f"cannot be written ({reason}).", "Choose a folder that exists and may be written to.") from None


def _replace(path: Path, data: bytes) -> None:
    handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=".memo2list-", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
        os.chmod(temporary, 0o666 & ~_umask())
        os.replace(temporary, path)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise


def _umask() -> int:
    current = os.umask(0o022)
    os.umask(current)
    return current
