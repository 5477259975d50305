"""The public format is read, and the command prints what it should."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.schedule import Precedence, read_psplib
from planner.schedule.__main__ import main

if TYPE_CHECKING:
    from pathlib import Path

# Made up in the published layout: 2 of 3 and 3 of 4 units cannot go together, so 3 + 2 = 5.
TINY = """\
************************************************************************
jobs (incl. supersource/sink ):  4
************************************************************************
PRECEDENCE RELATIONS:
jobnr.    #modes  #successors   successors
   1        1          2           2   3
   2        1          1           4
   3        1          1           4
   4        1          0
************************************************************************
REQUESTS/DURATIONS:
jobnr. mode duration  R 1  R 2
------------------------------------------------------------------------
  1      1     0       0    0
  2      1     3       2    0
  3      1     2       2    3
  4      1     0       0    0
************************************************************************
RESOURCEAVAILABILITIES:
  R 1  R 2
    3    4
************************************************************************
"""


def test_jobs_needs_and_followers_are_read() -> None:
    instance = read_psplib(TINY)
    third = instance.activities[2]
    assert third.after == (Precedence("1"),)
    assert third.modes[0].duration_quarters == 2
    assert third.modes[0].uses == {"R1": 2, "R2": 3}
    assert [resource.capacity for resource in instance.resources] == [3, 4]


def test_the_command_prints_makespan_and_bound(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "tiny.sm"
    file.write_text(TINY, encoding="utf-8")
    assert main([str(file), "--seconds", "1"]) == 0
    # Work bound on R1: 2 x 3 + 2 x 2 = 10 unit-quarters over 3 units is 4; the solver proves 5.
    assert capsys.readouterr().out.startswith("makespan 5, bound 5, proven best")


def test_a_file_of_another_kind_is_refused_in_one_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "other.sm"
    file.write_text("nothing of the sort", encoding="utf-8")
    assert main([str(file)]) == 1
    assert "there is no section PRECEDENCE RELATIONS" in capsys.readouterr().err


def test_a_missing_file_is_refused(tmp_path: Path) -> None:
    assert main([str(tmp_path / "absent.sm")]) == 1


def test_more_than_one_mode_is_refused() -> None:
    twice = TINY.replace("  3      1     2       2    3", "  3      1     2       2    3\n" * 2)
    with pytest.raises(ValueError, match="more than one mode"):
        read_psplib(twice)
