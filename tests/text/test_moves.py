"""Camera moves: what is read, and each fault at its place."""

from __future__ import annotations

import pytest

from planner.text.moves import read_move


def told(text: str) -> list[tuple[int, int, str]]:
    move, problems = read_move(text.encode(), "push.csv")
    assert move is None
    return [(each.place.line, each.place.column, each.message) for each in problems]


def test_values_come_in_canonical_units() -> None:
    move, problems = read_move(b"frame, track [m], pan [deg]\r\n101,1.5,-3\r\n102,2,4\r\n", "p.csv")
    assert problems == ()
    assert move is not None
    assert (move.id, move.first_frame) == ("p", 101)
    assert move.axes["track"].values == (1500, 2000)  # a metre is 1000 mm
    assert move.axes["pan"].values == (-3, 4)


def test_places_count_empty_lines_and_characters() -> None:
    # Line 5 is `2, x`: the cell begins after `2,` and a blank, in column 4.
    assert told("\nframe, pan [deg]\n\n1, 1\n2, x\n") == [(5, 4, "'x' is not a number")]


def test_a_frame_is_whole() -> None:
    assert told("frame,pan [deg]\n1.5,0\n2.5,0\n") == [
        (2, 1, "frame '1.5' is not a whole number"),
        (3, 1, "frame '2.5' is not a whole number"),
    ]


def test_frames_follow_one_another() -> None:
    assert told("frame,pan [deg]\n1,0\n3,0\n") == [(3, 1, "frame 3 does not follow 1")]


def test_headings_name_an_axis_and_its_unit_once() -> None:
    # `frame,tilt,pan [deg],pan [rad]`: tilt begins in column 7, the second pan in 22.
    assert [place[:2] for place in told("frame,tilt,pan [deg],pan [rad]\n1,0,0,0\n")] == [
        (1, 7),
        (1, 22),
    ]


@pytest.mark.parametrize("cell", ["9" * 200_000, '"' + "a" * 200_000])
def test_a_cell_longer_than_any_number_is_told_in_one_short_sentence(cell: str) -> None:
    ((line, _column, message),) = told(f"frame,pan [deg]\n1,{cell}\n")
    assert line == 2
    assert len(message) < 100


def test_a_long_word_is_cut_short_in_the_sentence() -> None:
    ((_line, _column, message),) = told(f"frame,pan [deg]\n1,{'x' * 5000}\n")
    assert message == f"'{'x' * 60}…' is not a number"
