"""Values made quickly are made as dataclasses are."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, dataclass, field

import pytest

from planner.model.frozen import quickly_made


@quickly_made
@dataclass(frozen=True, slots=True, order=True)
class Cue:
    """A call and how often."""

    word: str
    times: int = 1
    to: tuple[str, ...] = field(default_factory=tuple)


def test_fields_are_given_by_position_and_by_name_and_may_be_left_out() -> None:
    cue = Cue("go", to=("stage",))
    assert (cue.word, cue.times, cue.to) == ("go", 1, ("stage",))
    assert Cue("go", 1, ("stage",)) == cue
    assert Cue("go") < Cue("go", 2)


def test_a_field_without_a_default_is_wanted() -> None:
    with pytest.raises(TypeError, match="word"):
        Cue()  # type: ignore[call-arg]


def test_nothing_of_it_can_be_changed() -> None:
    with pytest.raises(FrozenInstanceError):
        Cue("go").times = 2  # type: ignore[misc]
