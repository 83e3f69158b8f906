"""Keys of the page: one table for the script, the help panel and the tests."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Key:
    key: str  # as KeyboardEvent.key says it
    shown: str
    does: str  # the script's name for it
    about: str


KEYS = (
    Key("ArrowDown", "↓", "next", "next line"),
    Key("ArrowUp", "↑", "previous", "line before"),
    Key("n", "n", "next-waiting", "next line that is still to look at"),
    Key("f", "f", "next-doubtful", "next doubtful line"),
    Key(" ", "space", "play", "play the quote, or stop"),
    Key("b", "b", "around", "play a bit before and after too"),
    Key("s", "s", "slower", "slower, and back"),
    Key("k", "k", "keep", "keep, and go on to the next to look at"),
    Key("d", "d", "drop", "drop; then 1–4 for the reason, or Enter"),
    Key("e", "e", "edit", "change any field; Ctrl+Enter saves and keeps"),
    Key("m", "m", "merge", "merge into another line; Enter takes the likeliest"),
    Key("v", "v", "mark", "mark this line; place, keep, drop and merge then work on all marked"),
    Key("p", "p", "place", "set the place of this line or of all marked"),
    Key("[", "[", "up", "move up"),
    Key("]", "]", "down", "move down"),
    Key("a", "a", "add", "add a line of your own"),
    Key("t", "t", "note", "write a note"),
    Key("c", "c", "state", "close out: done, or open again"),
    Key("w", "w", "why", "why this line is here: what was understood, and every change"),
    Key("u", "u", "undo", "take back the last change"),
    Key("U", "Shift+u", "redo", "do it again"),
    Key("?", "?", "help", "this help"),
    Key("Escape", "Esc", "close", "close what is open"),
)
DROP_WHYS = ("said twice", "not our work", "misheard", "done already")
