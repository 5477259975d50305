"""Files kept from one reading to the next: the second tells what the first would."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds import Registry
from planner.text.parts import Shelf
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from tests.conftest import ShowFolder

HILL = "sequences/hill.yaml"


def test_elements_of_a_file_that_did_not_change_are_the_very_same(show: ShowFolder) -> None:
    shelf = Shelf()
    text = (show.path / HILL).read_text(encoding="utf-8")
    show.write("sequences/vale.yaml", text.replace("hill\n", "vale\n").replace("HL0", "VA0"))
    first, _ = load_show(show.path, Registry(), shelf)
    show.replace(HILL, "nearest: 40 m", "nearest: 50 m")
    second, _ = load_show(show.path, Registry(), shelf)
    assert first is not None
    assert second is not None
    for id_ in ("VA010.town", "VA010.final", "hill_town"):
        assert first.elements[id_] is second.elements[id_]
    nearest = second.elements["HL010.town"].facts.number("nearest")
    assert nearest is not None
    assert nearest.value == 50_000  # mm


def test_faults_of_a_file_that_did_not_change_are_told_again(show: ShowFolder) -> None:
    shelf = Shelf()
    show.write("moves/pan.csv", "frame,pan [deg]\n1,north\n")
    show.replace(HILL, "says: The town below.", "says: The town below.\n    says: Twice.")
    show.replace("builds.yaml", "scale: 1/24", "scale: 24 kg")
    first = load_show(show.path, Registry(), shelf)[1]
    again = load_show(show.path, Registry(), shelf)[1]
    assert first == again == load_show(show.path, Registry())[1]
    told = {each.code for each in again}
    assert {"move-unreadable", "yaml-duplicate-key", "value-unreadable"} <= told


def test_a_name_gone_from_one_file_is_told_in_another_that_did_not_change(
    show: ShowFolder,
) -> None:
    shelf = Shelf()
    assert load_show(show.path, Registry(), shelf)[1] == ()
    show.replace("builds.yaml", "hill_town:", "dale_town:")
    told = load_show(show.path, Registry(), shelf)[1]
    assert [each.code for each in told] == ["reference-to-nothing"]
    show.replace("builds.yaml", "dale_town:", "hill_town:")
    assert load_show(show.path, Registry(), shelf)[1] == ()


def test_rates_are_read_again_when_the_show_changes_its_currency(show: ShowFolder) -> None:
    shelf = Shelf()
    load_show(show.path, Registry(), shelf)
    show.replace("show.yaml", "currency: GBP", "currency: EUR")
    told = load_show(show.path, Registry(), shelf)[1]
    # Three rates with four sums in pounds.
    assert [each.code for each in told] == ["currency-differs"] * 4


def test_what_is_read_without_a_kind_is_read_again_once_there_is_one(show: ShowFolder) -> None:
    shelf = Shelf()
    points = Registry().points
    without = tuple(each for each in points if each.name != "miniature")
    told = load_show(show.path, Registry(points=without), shelf)[1]
    assert "kind-unknown" in {each.code for each in told}
    assert load_show(show.path, Registry(points=points), shelf)[1] == ()


def test_the_same_name_in_two_files_is_told_whichever_was_kept(show: ShowFolder) -> None:
    shelf = Shelf()
    load_show(show.path, Registry(), shelf)
    text = (show.path / HILL).read_text(encoding="utf-8")
    show.write("sequences/a_first.yaml", text.replace("sequence: hill", "sequence: a"))
    told = load_show(show.path, Registry(), shelf)[1]
    # The file read first keeps the name; the kept one comes after it.
    assert [(each.code, each.place.file) for each in told] == [
        ("name-used-twice", str(show.path / HILL))
    ]
