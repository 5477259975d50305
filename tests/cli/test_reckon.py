"""`platewright reckon`: one formula, for the numbers typed."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from planner.cli.reckon import command


def run(*words: str) -> tuple[int, str, str]:
    result = CliRunner().invoke(command, list(words))
    return result.exit_code, result.stdout, result.stderr


def test_works_out_the_depth_of_a_lens() -> None:
    code, told, _ = run("depth-limits", "focal=50mm", "f_number=f/4", "coc=0.03", "subject=10 ft")
    assert code == 0
    # A = 50^2 / (4 x 0.03) = 20,833 mm; u = 3,048 mm: near u A / (A + u - f) = 2.6646 m, far
    # u A / (A - u + f) = 3.5604 m.
    assert "  near_m     = 2.665 m\n" in told
    assert "  far_m      = 3.56 m\n" in told
    assert "source: Thin lens" in told


def test_says_which_numbers_stood_in() -> None:
    code, told, _ = run("gravity-fps", "scale_denominator=1/16")
    assert code == 0
    assert "shown_fps            24 fps" in told
    assert "gravity_fps        = 96 fps" in told  # 24 x sqrt(16)


def test_prints_units_that_only_the_first_words_of_a_name_tell() -> None:
    words = ("exposure_index=100", "seconds=1/48")
    _, told, _ = run("foot-candles-needed", "t_number=T2.8", *words)
    assert "foot_candles_needed  = 94.08 fc\n" in told  # 25 x 2.8^2 x 48 / 100
    _, told, _ = run("t-number-allowed", "light=94.08 fc", *words)
    assert "t_number_allowed    = T2.8\n" in told  # undone


def test_says_no_unit_of_what_is_endless() -> None:
    # f^2 / (N c) = 2500 / 0.48 = 5,208 mm: the focus at 30 m lies beyond the hyperfocal.
    _, told, _ = run("depth-limits", "focal=50mm", "f_number=f/16", "coc=0.03", "subject=30m")
    assert "far_m      = endless\n" in told


def test_lists_the_formulas_under_a_heading() -> None:
    code, told, _ = run("composite")
    assert code == 0
    assert told.startswith("composite: ")
    assert "machine-seconds" in told


def test_shows_a_word_from_what_the_formula_says() -> None:
    _, _, wrong = run("caution", "flame")
    assert "such as hazard=flame" in wrong


def test_gives_values_to_machines() -> None:
    code, told, _ = run("stepped-pass", "frames=120", "exposure=2s", "settle=1.5s", "--json")
    assert code == 0
    # 120 x (2 + 1.5)
    assert json.loads(told)["found"] == {"stepped_pass_s": 420.0}


def test_says_what_a_formula_asks_for() -> None:
    code, told, _ = run("hyperfocal")
    assert code == 0
    assert "focal_mm: focal length, millimetres." in told


def test_lists_formulas_that_have_a_word() -> None:
    code, told, _ = run("stops")
    assert code == 0
    assert "stops-short" in told
    assert "depth-cost-stops" in told
    assert "hyperfocal" not in told


def test_lists_only_what_can_be_typed() -> None:
    _, told, _ = run()
    assert "hyperfocal-m" in told
    assert "resect" not in told  # it takes sightings
    assert "above-zero" not in told  # it guards others
    assert max(map(len, told.splitlines())) <= 80


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("hyperfocl-m",), "no formula is called hyperfocl-m; did you mean hyperfocal-m?\n"),
        (("fall", "height=-3"), "height m cannot be -3, below zero or endless\n"),
        (("hyperfocal", "focal=50"), "f_number is not given\ncoc_mm is not given\n"),
        (("gravity-fps", "scale_denominator=1e400"), "scale_denominator: 1e400 "),
        (("density-factor", "density=400"), "what comes of these numbers is past all"),
        (("layer-depths-m", "near=1", "far=2", "layers=1000000000"), "layers of 1,000,000,000 is"),
    ],
)
def test_refuses_in_a_sentence(words: tuple[str, ...], says: str) -> None:
    code, told, wrong = run(*words)
    assert (code, told) == (2, "")
    assert wrong.startswith(says)


def test_works_out_every_formula_or_says_why_not() -> None:
    """No formula that is listed fails in any other way than by a sentence."""
    from planner.cli.reckon import _parameters, _rooms

    for room in _rooms():
        for formula in room.formulas:
            numbers = [f"{name}=2" for name in _parameters(formula)]
            code, _, wrong = run(formula.id, *(numbers or ["x=2"]))
            assert code in {0, 2}, (formula.id, wrong)
            assert "is not given" not in wrong
