"""What the parsers of YAML complain of, in plain words.

Takes a parser's message, gives what is wrong and what would do. Knows both parsers' wording and
nothing of places or problems.
"""

from __future__ import annotations

from typing import NamedTuple


class PlainWords(NamedTuple):
    """What is wrong, and what would do.

    Attributes:
        parts: of the parsers' messages; one of them is enough.
        at_opening: whether the fault is told where something was opened, not where reading stopped.
        message: what is wrong; ``%`` stands for the character at the place told.
        remedy: what would do.
    """

    parts: tuple[str, ...]
    at_opening: bool
    message: str
    remedy: str


def in_plain_words(said: str) -> PlainWords | None:
    """The first words that fit what a parser said; None where nobody foresaw it."""
    return next((each for each in _WORDS if any(part in said for part in each.parts)), None)


NEVER_CLOSED = PlainWords(
    (),
    at_opening=True,
    message="the % opened here is not closed before the file ends",
    remedy="close it",
)
"""Where reading stops at the end of the file, inside a bracket."""
NEVER_OPENED = PlainWords(
    (),
    at_opening=False,
    message="this % closes what was never opened",
    remedy="take it out, or put the whole text in quotes",
)
"""Where reading stops at a closing bracket, inside none."""

_WORDS = (
    PlainWords(
        ("mapping values are not allowed",),
        at_opening=False,
        message="a colon cannot stand here: the line has a second `: `, or is indented too far",
        remedy="put text with a colon in quotes, or line the key up with its neighbours",
    ),
    PlainWords(
        ("mapping keys are not allowed",),
        at_opening=False,
        message="text follows a `?`",
        remedy="write a lone `?` for what is not known, or put the text in quotes",
    ),
    PlainWords(
        ("sequence entries are not allowed",),
        at_opening=False,
        message="a list item cannot stand here",
        remedy="start the list on the line below its key, or write [a, b]",
    ),
    PlainWords(
        ("unexpected end of stream", "unexpected document"),
        at_opening=True,
        message="the quote opened here is never closed",
        remedy="close it with the same quote",
    ),
    PlainWords(
        ("',' or '}'", "',' or ']'"),
        at_opening=True,
        message="the % opened here is not closed, or a comma is missing in it",
        remedy="close it, and put a comma between entries",
    ),
    PlainWords(
        ("block collection",),
        at_opening=False,
        message="this line does not line up with the list above it",
        remedy="begin it with `- ` like the others, or indent it otherwise",
    ),
    PlainWords(
        ("expected key", "<block end>"),
        at_opening=False,
        message="this does not line up with the lines above, or follows a closed quote or bracket",
        remedy="indent the keys of one mapping alike, and put the whole text in quotes",
    ),
    PlainWords(
        ("expected ':'",),
        at_opening=True,
        message="this is neither `key: value` nor a `- ` list item",
        remedy="write a colon and a space after the key",
    ),
    PlainWords(
        ("cannot start any token", "node content", "alphabetic or numeric"),
        at_opening=True,
        message="a value cannot begin with %",
        remedy="put the text in quotes",
    ),
    PlainWords(
        ("escape", "hexdecimal", "hexadecimal"),
        at_opening=False,
        message="a backslash in double quotes begins a code, and this is none",
        remedy="use single quotes",
    ),
    PlainWords(
        ("comment or line break",),
        at_opening=False,
        message="nothing but a line end may follow a `|` or `>`",
        remedy="begin the text on the line below, or put it in quotes",
    ),
    PlainWords(
        ("<document start>",),
        at_opening=False,
        message="this follows the end of the document's only value",
        remedy="write one mapping in a file",
    ),
)
