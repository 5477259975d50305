"""The loads of a show as its user meets them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from click.testing import CliRunner

from planner.cli.loads import command

if TYPE_CHECKING:
    from tests.conftest import ShowFolder


def test_the_loads_of_a_small_show_are_told_by_craft(show: ShowFolder) -> None:
    told = CliRunner().invoke(command, [str(show.path), "--tries", "0"])
    assert told.exit_code == 0
    assert "model making: " in told.output
    # Four modellers, five days of ten hours.
    assert "crews of 200 h a week" in told.output
    assert "  2027-03-01" in told.output
