"""Where a value was written, and what is wrong with it.

Takes nothing, gives `Place` and `Problem`. Knows nothing of YAML, shows or printing.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

from planner.model.frozen import quickly_made


class Severity(IntEnum):
    """How much a problem stops: errors stop the plan, warnings may be waived, notes inform."""

    ERROR = 0
    WARNING = 1
    NOTE = 2


@quickly_made
@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A spot in a show's files.

    Attributes:
        file: its path, with the show's folder as the user typed it.
        line: 1-based; 0 when the whole file is meant.
        column: 1-based, in characters; 0 when the whole line is meant.
    """

    file: str
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        if self.line == 0:
            return self.file
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """Something a user can mend, told in one sentence with what would do instead.

    Attributes:
        severity: whether it stops the plan.
        place: where to look.
        code: stable short name of the rule, lower-case words joined by hyphens.
        message: what is wrong, with the value found.
        remedy: what to do, a clause of its own; may be empty.
        about: the element, shot or build concerned (``SHOT.element``); empty for files.
    """

    severity: Severity
    place: Place
    code: str
    message: str
    remedy: str = ""
    about: str = ""

    def __str__(self) -> str:
        remedy = f"; {self.remedy}" if self.remedy else ""
        return f"{self.place}: {self.severity.name.lower()}: {self.message}{remedy} [{self.code}]"
