"""What a plain scalar means: the core schema of YAML 1.2 and no more.

Takes text that stands in a file without quotes, gives a plain value. Knows nothing of places.
"""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

WORDS: dict[str, bool | None] = {
    **dict.fromkeys(("", "~", "null", "Null", "NULL")),
    **dict.fromkeys(("true", "True", "TRUE"), True),
    **dict.fromkeys(("false", "False", "FALSE"), False),
}
"""What is neither text nor a number, by how it is written."""
NUMBER_STARTS = frozenset("0123456789+-.")
_MAX_DIGITS = 250  # more cannot be a quantity, and would pass what a float holds
_NUMBER = re.compile(
    r"(?P<whole>[-+]?[0-9]+)"
    r"|(?P<based>0o[0-7]+|0x[0-9a-fA-F]+)"
    r"|(?P<real>[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?)"
    r"|(?P<endless>[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN))"
).fullmatch
_READ_NUMBER: dict[str, Callable[[str], float]] = {
    "whole": int,
    "based": lambda text: int(text, 0),
    "real": float,
    "endless": lambda _: math.inf,
}


def meaning(text: str) -> str | int | float | bool | None:
    """What a plain scalar means; infinity for any number that is not finite, or is too long."""
    if text in WORDS:
        return WORDS[text]
    found = None if " " in text else _NUMBER(text)
    if found is None:
        return text
    read = _READ_NUMBER[found.lastgroup or "endless"]
    value = read(text) if len(text) <= _MAX_DIGITS else math.inf
    return value if -math.inf < value < math.inf else math.inf
