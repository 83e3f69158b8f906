"""JSON: the public contract."""

from memo2list.exports.contract import to_json
from memo2list.exports.exporter import Sheet


def write(sheet: Sheet) -> bytes:
    return to_json(sheet.punch_list).encode()
