"""The kite keeps to the door, and its numbers are right."""

from platewright_kites import Kite

from planner.kinds.testing import check_kind, context_of


def test_it_keeps_to_the_door() -> None:
    facts = ({}, {"line_length": None}, {"line_length": (0, "mm")}, {"line_length": (40_000, "mm")})
    check_kind(Kite(), [context_of("kite", each) for each in facts])


def test_a_long_line_waits_longer_for_wind_and_is_asked_about() -> None:
    estimate = Kite().estimate(context_of("kite", {"line_length": (40_000, "mm")}))
    (flying,) = estimate.work
    # 40 m: 1 + 40 x 0, 2 + 40 x 0.01, 5 + 40 x 0.1 hours.
    assert (flying.hours.low, flying.hours.likely, flying.hours.high) == (1, 2.4, 9)
    assert [each.code for each in estimate.problems] == ["line-too-long"]
