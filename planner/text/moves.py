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
from typing import NamedTuple

from planner.model.names import counted
from planner.model.place import Place, Problem, Severity
from planner.model.show import Move, MoveAxis

LARGEST_BYTES = 16_000_000
_LONGEST = 60  # characters of a cell repeated in a sentence
_LINE_BREAK = re.compile(r"\r\n?|\n")
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
    rows = sheet.rows(text)
    if not sheet.problems and (len(data) > LARGEST_BYTES or len(rows) < 2):
        sheet.tell(1, 1, "needs a header and at least one row, in at most 16 MB", "")
    if sheet.problems:
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


class _Row(NamedTuple):
    """A line that holds anything.

    Attributes:
        line: its number.
        written: all of it.
        cells: its values.
    """

    line: int
    written: str
    cells: list[str]

    def column(self, number: int) -> int:
        """Where a cell begins, in characters; the line's beginning where it has quotes."""
        if '"' in self.written:
            return 1
        blanks = len(self.cells[number]) - len(self.cells[number].lstrip())
        return sum(len(cell) + 1 for cell in self.cells[:number]) + blanks + 1


class _Sheet:
    def __init__(self, file: str) -> None:
        self.file = file
        self.problems: list[Problem] = []

    def tell(self, line: int, column: int, message: str, remedy: str) -> None:
        if len(self.problems) < 20:
            place = Place(self.file, line, column)
            self.problems.append(Problem(Severity.ERROR, place, "move-unreadable", message, remedy))

    def rows(self, text: str) -> list[_Row]:
        """Lines that hold anything."""
        rows = []
        for line, written in enumerate(_LINE_BREAK.split(text), start=1):
            if not written.strip():
                continue
            try:
                (cells,) = csv.reader((written,))
            except csv.Error:
                self.tell(line, 1, "this line holds a cell without end", "export the move again")
                continue
            rows.append(_Row(line, written, cells))
        return rows

    def header(self, row: _Row) -> list[tuple[str, float, str]]:
        """(axis, factor to canonical, canonical unit) of each column after the first."""
        if row.cells[0].strip() != "frame":
            message = f"the first column is {_short(row.cells[0])}"
            self.tell(row.line, row.column(0), message, "it must be `frame`")
        axes: list[tuple[str, float, str]] = []
        for number, cell in enumerate(row.cells[1:], start=1):
            match = _HEADING.match(cell)
            unit = _TO_CANONICAL.get(match.group(2)) if match else None
            if match is None or unit is None:
                units = ", ".join(_TO_CANONICAL)
                self.tell(
                    row.line,
                    row.column(number),
                    f"{_short(cell)} does not name an axis and its unit",
                    f"write it as `track [m]`; units are {units}",
                )
                continue
            if any(name == match.group(1) for name, *_rest in axes):
                message = f"the axis {_short(match.group(1))} stands twice"
                self.tell(row.line, row.column(number), message, "name each once")
            axes.append((match.group(1), *unit))
        return axes

    def body(
        self, rows: list[_Row], axes: list[tuple[str, float, str]]
    ) -> tuple[list[int], list[list[float]]]:
        """Frames, and the values of each axis as they are written."""
        frames: list[int] = []
        columns: list[list[float]] = [[] for _ in axes]
        wanted = len(rows[0].cells)
        for row in rows[1:]:
            if len(row.cells) != wanted:
                message = f"{counted(len(row.cells), 'cell')} where the header has {wanted}"
                self.tell(row.line, 1, message, "")
                continue
            values = [self._number(row, number) for number in range(wanted)]
            self._follow(row, values[0], frames)
            for column, value in zip(columns, values[1:], strict=False):
                column.append(value)
        return frames, columns

    def _follow(self, row: _Row, value: float, frames: list[int]) -> None:
        """Add a frame, which is whole and comes after the one before."""
        frame = int(value)
        if frame != value:
            message = f"frame {_short(row.cells[0])} is not a whole number"
            self.tell(row.line, row.column(0), message, "one row a frame")
        elif frames and frame != frames[-1] + 1:
            message = f"frame {frame:.15g} does not follow {frames[-1]:.15g}"
            self.tell(row.line, row.column(0), message, "one row a frame")
        frames.append(frame)

    def _number(self, row: _Row, number: int) -> float:
        cell = row.cells[number]
        try:
            value = float(cell)
        except ValueError:
            value = math.nan
        if not math.isfinite(value):
            self.tell(row.line, row.column(number), f"{_short(cell)} is not a number", "")
            return 0.0
        return value


def _short(cell: str) -> str:
    text = " ".join(cell.split())
    return repr(text if len(text) <= _LONGEST else f"{text[:_LONGEST]}…")
