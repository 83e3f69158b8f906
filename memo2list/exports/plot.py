"""A small bar plot as SVG text, for the page and for files. Text is escaped; there is nothing to fetch or run."""

from collections.abc import Sequence
from html import escape

from memo2list.exports.safety import xml_text

BAR, GAP, LABEL, WIDTH = 18, 6, 230, 340  # pixels
INK, SOFT, FILL = "#22262b", "#5b6470", "#7a8f6a"


def bars(rows: Sequence[tuple[str, int]], title: str) -> str:
    """Horizontal bars with their numbers, the first on top. An empty plot says so."""
    most = max((value for _, value in rows), default=0)
    height = 34 + max(1, len(rows)) * (BAR + GAP)
    body = [_bar(n, label, value, most) for n, (label, value) in enumerate(rows)] or [
        f'<text x="8" y="50" fill="{SOFT}">Nothing yet</text>'
    ]
    name = escape(xml_text(title))
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {LABEL + WIDTH + 50} {height}" role="img" '
            f'font-family="sans-serif" font-size="13"><title>{name}</title>',
            f'<text x="8" y="20" font-weight="bold" fill="{INK}">{name}</text>',
            *body,
            "</svg>",
            "",
        ]
    )


def _bar(number: int, label: str, value: int, most: int) -> str:
    top = 34 + number * (BAR + GAP)
    length = round(WIDTH * value / most, 1) if most else 0
    text = escape(xml_text(label if len(label) <= 34 else label[:33] + "…"))
    return (
        f'<text x="{LABEL - 8}" y="{top + 13}" text-anchor="end" fill="{INK}">{text}</text>'
        f'<rect x="{LABEL}" y="{top}" width="{length}" height="{BAR}" fill="{FILL}"/>'
        f'<text x="{LABEL + length + 6}" y="{top + 13}" fill="{SOFT}">{value}</text>'
    )
