from __future__ import annotations

from planner.model.facts import Facts
from planner.model.methods import methods_of, stand_aside, wanted_only_by
from planner.model.place import Place
from planner.model.show import Element, Reference

HERE = Place("a.yaml", 1, 1)
WAITING = {"build", "joins", "waits_for", "removes_rods_of"}


def show_of(**elements: dict[str, str]) -> dict[str, Element]:
    """Elements of plain words: ``verdict``, ``kind``, ``candidate_for``; all others are names."""
    return {name: element(name, **words) for name, words in elements.items()}


def element(name: str, **words: str) -> Element:
    values: dict[str, object] = {}
    if verdict := words.pop("verdict", ""):
        values["method"] = Facts(HERE, {"verdict": verdict})
    if place := words.pop("candidate_for", ""):
        values["candidate_for"] = place
    kind = words.pop("kind", "miniature")
    references = tuple(
        Reference(role, target, HERE, role in WAITING)
        for role, targets in words.items()
        for target in targets.split()
    )
    return Element(name, kind, "", Facts(HERE, values), references, HERE)


def test_without_alternatives_nothing_stands_aside() -> None:
    elements = show_of(town={}, comp={"joins": "town"})
    assert methods_of(elements) == ()
    assert stand_aside(elements) == frozenset()


def test_the_one_the_others_name_is_made_until_one_is_chosen() -> None:
    elements = show_of(drawn={"alternative_to": "puppet"}, puppet={})
    (methods,) = methods_of(elements)
    assert methods.members == ("drawn", "puppet")
    assert methods.made == "puppet"
    assert stand_aside(elements) == {"drawn"}


def test_the_one_chosen_is_made_whoever_names_whom() -> None:
    elements = show_of(puppet={}, drawn={"alternative_to": "puppet", "verdict": "chosen"})
    assert stand_aside(elements) == {"puppet"}


def test_what_is_rejected_is_not_made_even_where_the_others_name_it() -> None:
    elements = show_of(
        puppet={"verdict": "rejected"},
        drawn={"alternative_to": "puppet"},
        suit={"alternative_to": "puppet"},
    )
    (methods,) = methods_of(elements)
    assert methods.made == "drawn"  # neither is named by another: the first written
    assert stand_aside(elements) == {"puppet", "suit"}


def test_where_all_are_rejected_none_is_made() -> None:
    elements = show_of(
        puppet={"verdict": "rejected"}, drawn={"alternative_to": "puppet", "verdict": "rejected"}
    )
    assert methods_of(elements)[0].made == ""
    assert stand_aside(elements) == {"puppet", "drawn"}


def test_alternatives_of_alternatives_are_one_group() -> None:
    elements = show_of(a={}, b={"alternative_to": "a"}, c={"alternative_to": "b"}, d={})
    (methods,) = methods_of(elements)
    assert methods.members == ("a", "b", "c")


def test_a_verdict_on_a_thing_without_alternatives_counts_too() -> None:
    assert stand_aside(show_of(town={"verdict": "rejected"})) == {"town"}
    assert stand_aside(show_of(town={"verdict": "chosen"})) == frozenset()


def test_parts_of_a_method_and_what_only_it_wants_go_with_it() -> None:
    elements = show_of(
        heron={},
        rods_out={"removes_rods_of": "heron", "made_for": "heron", "waits_for": "plate"},
        heron_build={},
        plate={},
        drawn={"alternative_to": "heron", "verdict": "chosen"},
        comp={"joins": "plate drawn"},
    )
    elements["heron"] = element("heron", build="heron_build")
    # The plate is joined whatever the method; the build and the rods are the puppet's alone.
    assert stand_aside(elements) == {"heron", "rods_out", "heron_build"}


def test_tests_decisions_and_candidate_builds_never_go_with_a_method() -> None:
    elements = show_of(
        puppet={},
        drawn={"alternative_to": "puppet", "build": "face", "waits_for": "trial choice"},
        face={"candidate_for": "the face"},
        trial={"kind": "test"},
        choice={"kind": "decision"},
    )
    assert stand_aside(elements) == {"drawn"}


def test_what_two_methods_share_goes_only_with_both() -> None:
    elements = show_of(a={"build": "shop"}, b={"build": "shop"}, c={"build": "shop"}, shop={})
    assert wanted_only_by(elements, ("a",)) == {"a"}
    assert wanted_only_by(elements, ("a", "b", "c")) == {"a", "b", "c", "shop"}
