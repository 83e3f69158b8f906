"""Frozen records as JSON and back, by their type hints: what goes in comes out equal."""

import dataclasses
import functools
import json
import types
import typing
from typing import Any, TypeVar

Record = TypeVar("Record")


def to_plain(value: Any) -> Any:
    """Records as dictionaries and tuples as lists; fields that hold their default are left out."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {f.name: to_plain(held) for f in dataclasses.fields(value) if (held := getattr(value, f.name)) != _default(f)}
    if isinstance(value, tuple | list):
        return [to_plain(v) for v in value]
    if isinstance(value, str) and not value.isascii():
        return value.encode("utf-8", "replace").decode()  # half characters, as from a damaged file name, cannot be kept
    return value


def from_plain(kind: Any, value: Any) -> Any:
    """The value of type `kind` that `to_plain` wrote. Raises TypeError or ValueError if it is none."""
    if dataclasses.is_dataclass(kind) and isinstance(kind, type):
        hints = hints_of(kind)
        return kind(**{name: from_plain(hints[name], held) for name, held in value.items() if name in hints})
    origin, inner = typing.get_origin(kind), typing.get_args(kind)
    if origin is tuple:
        return _tuple(inner, value)
    if origin in (typing.Union, types.UnionType):
        return _one_of(inner, value)
    if origin is typing.Literal:
        if value not in inner:
            raise ValueError(f"{value!r} is none of {', '.join(map(str, inner))}")
        return value
    return _simple(kind, value)


def dumps(value: Any) -> str:
    return json.dumps(to_plain(value), ensure_ascii=False, separators=(",", ":"))


def loads(kind: type[Record], text: str) -> Record:
    return typing.cast(Record, from_plain(kind, json.loads(text)))


@functools.cache
def hints_of(kind: type) -> dict[str, Any]:
    """The types of a record's fields."""
    return typing.get_type_hints(kind)


def _default(field: "dataclasses.Field[Any]") -> Any:
    if field.default_factory is not dataclasses.MISSING:
        return field.default_factory()
    return field.default


def _tuple(inner: tuple[Any, ...], value: Any) -> tuple[Any, ...]:
    if not isinstance(value, list | tuple):
        raise TypeError(f"a list is wanted here, not {value!r}")
    if len(inner) == 2 and inner[1] is Ellipsis:
        return tuple(from_plain(inner[0], v) for v in value)
    return tuple(from_plain(kind, v) for kind, v in zip(inner, value, strict=True))


def _one_of(inner: tuple[Any, ...], value: Any) -> Any:
    for kind in inner:
        try:
            return from_plain(kind, value)
        except (TypeError, ValueError, AttributeError):
            continue
    raise TypeError(f"{value!r} is none of {inner}")


def _simple(kind: Any, value: Any) -> Any:
    if kind is type(None):
        if value is not None:
            raise TypeError(f"nothing is wanted here, not {value!r}")
        return None
    if kind is float and isinstance(value, int) and not isinstance(value, bool):
        return value  # 12 stays 12: equal to 12.0 and written back as it was
    if not isinstance(value, kind) or (isinstance(value, bool) and kind is not bool):
        raise TypeError(f"{kind.__name__} is wanted here, not {value!r}")
    return value
