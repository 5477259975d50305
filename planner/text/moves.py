"""Camera moves: one row a frame, one column an axis.

Takes the bytes of a CSV file whose header names each axis and its unit, such as
``frame, track [m], pan [deg]``, gives a `Move` in canonical units. Knows nothing of rigs or scales.
"""

from __future__ import annotations

import csv
import math
import re
from pathlib import PurePath
from types import MappingProxyType

from planner.model.place import Place, Problem, Severity
from planner.model.show import Move, MoveAxis

LARGEST_BYTES = 16_000_000
_HEADING = re.compile(r"^\s*([A-Za-z_][\w ]*?)\s*\[\s*([^\]]+?)\s*\]\s*$")
_TO_CANONICAL = {
    "mm": (1.0, "mm"),
    "cm": (10.0, "mm"),
    "m": (1000.0, "mm"),
    "in": (25.4, "mm"),
    "ft": (304.8, "mm"),
    "deg": (1.0, "deg"),
    "rad": (math.degrees(1.0), "deg"),
}


def read_move(data: bytes, file: str) -> tuple[Move | None, tuple[Problem, ...]]:
    """Read one move.

    Args:
        data: the file's bytes.
        file: its path, for messages; the move takes its name.

    Returns:
        The move, None where anything is wrong with it; and the problems found, at most twenty.
    """
    sheet = _Sheet(file)
    try:
        text = data[:LARGEST_BYTES].decode("utf-8-sig")
    except UnicodeDecodeError as error:
        sheet.tell(1, 1, f"byte {error.start} is not UTF-8 text", "save the file as UTF-8")
        return None, tuple(sheet.problems)
    rows = [row for row in csv.reader(text.splitlines()) if row]
    if len(data) > LARGEST_BYTES or len(rows) < 2:
        sheet.tell(1, 1, "needs a header and at least one row, in at most 16 MB", "")
        return None, tuple(sheet.problems)
    axes = sheet.header(rows[0])
    frames, columns = sheet.body(rows, axes)
    if sheet.problems:
        return None, tuple(sheet.problems)
    move = Move(
        PurePath(file).stem,
        frames[0],
        MappingProxyType(
            {
                name: MoveAxis(unit, tuple(value * factor for value in column))
                for (name, factor, unit), column in zip(axes, columns, strict=True)
            }
        ),
        Place(file),
    )
    return move, ()


class _Sheet:
    def __init__(self, file: str) -> None:
        self.file = file
        self.problems: list[Problem] = []

    def tell(self, line: int, column: int, message: str, remedy: str) -> None:
        if len(self.problems) < 20:
            place = Place(self.file, line, column)
            self.problems.append(Problem(Severity.ERROR, place, "move-unreadable", message, remedy))

    def header(self, row: list[str]) -> list[tuple[str, float, str]]:
        """(axis, factor to canonical, canonical unit) of each column after the first."""
        if row[0].strip() != "frame":
            self.tell(1, 1, f"the first column is {row[0]!r}", "it must be `frame`")
        axes: list[tuple[str, float, str]] = []
        for number, cell in enumerate(row[1:], start=2):
            match = _HEADING.match(cell)
            unit = _TO_CANONICAL.get(match.group(2)) if match else None
            if match is None or unit is None:
                units = ", ".join(_TO_CANONICAL)
                self.tell(
                    1,
                    number,
                    f"{cell!r} does not name an axis and its unit",
                    f"write it as `track [m]`; units are {units}",
                )
                continue
            if any(name == match.group(1) for name, *_rest in axes):
                self.tell(1, number, f"the axis {match.group(1)} stands twice", "name each once")
            axes.append((match.group(1), *unit))
        return axes

    def body(
        self, rows: list[list[str]], axes: list[tuple[str, float, str]]
    ) -> tuple[list[int], list[list[float]]]:
        frames: list[int] = []
        columns: list[list[float]] = [[] for _ in axes]
        for line, row in enumerate(rows[1:], start=2):
            if len(row) != len(rows[0]):
                self.tell(line, 1, f"{len(row)} cells where the header has {len(rows[0])}", "")
                continue
            values = [self._number(line, number, cell) for number, cell in enumerate(row, start=1)]
            frames.append(int(values[0]))
            if len(frames) > 1 and frames[-1] != frames[-2] + 1:
                self.tell(
                    line, 1, f"frame {row[0]} does not follow {frames[-2]}", "one row a frame"
                )
            for column, value in zip(columns, values[1:], strict=False):
                column.append(value)
        return frames, columns

    def _number(self, line: int, column: int, cell: str) -> float:
        try:
            value = float(cell)
        except ValueError:
            value = math.nan
        if not math.isfinite(value):
            self.tell(line, column, f"{cell!r} is not a number", "")
            return 0.0
        return value
