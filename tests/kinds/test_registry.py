"""The door for plugins: discovery, two owners of a name, and kinds that misbehave."""

from __future__ import annotations

from importlib.metadata import EntryPoint

import pytest

from planner.kinds import GROUP, Context, Registry, estimate_safely, rules_of
from planner.model.facts import Facts
from planner.model.place import Place, Problem
from planner.model.show import Element
from tests.kinds import broken_kinds

HERE = Place("hill.yaml", 3, 5)


def registry(**kinds: str) -> Registry:
    points = tuple(
        EntryPoint(name, f"tests.kinds.broken_kinds:{target}", GROUP)
        for name, target in kinds.items()
    )
    return Registry(points=points)


def context() -> Context:
    element = Element("HL010.kite", "kite", "HL010", Facts(HERE), (), HERE)
    return Context(show=None, element=element, upstream={})  # type: ignore[arg-type]


def test_built_in_kinds_come_through_the_public_door() -> None:
    assert {"plate", "miniature", "puppet", "roto", "composite", "build"} <= set(Registry().names)


def test_a_kind_is_imported_only_when_asked_for() -> None:
    kinds = registry(sound="Sound", lost="NoSuchClass")
    assert kinds.names == ("lost", "sound")
    assert not isinstance(kinds.get("sound", HERE), Problem)


def test_an_unknown_kind_is_told_with_the_nearest_name() -> None:
    problem = registry(sound="Sound").get("suond", HERE)
    assert isinstance(problem, Problem)
    assert (problem.code, problem.place) == ("kind-unknown", HERE)
    assert problem.remedy == "did you mean sound?"


@pytest.mark.parametrize(
    ("target", "words"),
    [
        ("NoSuchClass", "cannot be loaded"),
        ("NotAKind", "does not provide"),
        ("FromAnotherDoor", "was written for door 99; this is door 1"),
        ("FromAnOlderDoor", "was written for door 0; this is door 1"),
        ("NamesNoDoor", "says no door number; this is door 1"),
        ("EndsWhenMade", "cannot be loaded: tried to end the program"),
    ],
)
def test_a_kind_that_cannot_be_used_is_told_with_its_distribution(target: str, words: str) -> None:
    problem = registry(kite=target).get("kite", HERE)
    assert isinstance(problem, Problem)
    assert words in problem.message
    assert "tests.kinds.broken_kinds" in problem.message


def test_two_distributions_claiming_one_kind_are_both_named() -> None:
    points = (
        EntryPoint("kite", "one_house:Kite", GROUP),
        EntryPoint("kite", "tests.kinds.broken_kinds:Sound", GROUP),
    )
    kinds = Registry(points=points)
    problem = kinds.get("kite", HERE)
    assert isinstance(problem, Problem)
    assert "one_house and tests.kinds.broken_kinds" in problem.message
    kinds.choose({"kite": "tests.kinds.broken_kinds"})
    assert not isinstance(kinds.get("kite", HERE), Problem)


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        (broken_kinds.Raises(), "failed on HL010.kite: RuntimeError: no such lens"),
        (broken_kinds.Hangs(), "took more than 0.05 s"),
        (broken_kinds.ReturnsNothing(), "returned NoneType for HL010.kite"),
        (broken_kinds.GivesNotANumber(), "gave nan for mass"),
        (broken_kinds.LiesAboutHours(), "gave hours 5, 3, 8 for paint"),
        (broken_kinds.SpeaksOfAnother(), "an estimate of SOMETHING.else"),
        (broken_kinds.EndsTheProgram(), "failed on HL010.kite: tried to end the program"),
        (broken_kinds.GoesRoundForEver(), "failed on HL010.kite: RecursionError"),
        (broken_kinds.HangsOnThoughStopped(), "took more than 0.05 s"),
        (broken_kinds.RaisesWhatCannotBeSaid(), "failed on HL010.kite: Unsayable"),
        (broken_kinds.PutsWordsAmongWork(), "put str among the work of HL010.kite"),
        (broken_kinds.HasNoNumbers(), "failed on HL010.kite: AttributeError"),
        (broken_kinds.WaitsForEver(), "without end to dry of HL010.kite"),
        (broken_kinds.WorksBesideNothing(), "does blow of HL010.kite beside photograph"),
        (broken_kinds.ChargesNotANumber(), "charges nan of string for HL010.kite"),
    ],
)
def test_a_misbehaving_kind_becomes_a_problem_and_an_empty_estimate(
    kind: broken_kinds.Sound, words: str
) -> None:
    estimate = estimate_safely(kind, context(), "a distribution", seconds=0.05)
    (problem,) = estimate.problems
    assert problem.code == "kind-broken"
    assert words in problem.message
    assert "a distribution" in problem.message
    assert estimate.work == ()


@pytest.mark.parametrize(
    ("target", "words"),
    [
        ("RaisesForItsSchema", "FileNotFoundError: schema.json"),
        ("EndsForItsSchema", "tried to end the program"),
        ("GivesAListForASchema", "list is no JSON Schema object"),
        ("GivesASchemaOfNothing", "it has no properties"),
        ("GivesASchemaThatIsNotJson", "it is not JSON"),
        ("NamesNothingInItsSchema", "#/$defs/line names nothing in it"),
        ("HoldsItselfInItsSchema", "#/$defs/knot holds itself"),
    ],
)
def test_a_kind_without_a_usable_schema_is_told_with_its_distribution(
    target: str, words: str
) -> None:
    problem = registry(kite=target).schema("kite", HERE)
    assert isinstance(problem, Problem)
    assert (problem.code, problem.place) == ("kind-broken", HERE)
    assert f"the kind kite of tests.kinds.broken_kinds gave no schema: {words}" in problem.message


def test_sorts_of_a_kinds_own_are_put_where_its_schema_names_them() -> None:
    length = {"$ref": "facts.json#/$defs/length", "description": "Of it."}
    line = {"type": "object", "properties": {"length": length}}
    assert registry(kite="HasSortsOfItsOwn").schema("kite", HERE) == {
        "type": "object",
        "properties": {
            "line": {**line, "description": "Let out."},
            "spare": {"type": "array", "items": line},
        },
    }


def test_what_a_kind_prints_leaves_standard_output_alone(
    capsys: pytest.CaptureFixture[str],
) -> None:
    kinds = registry(kite="PrintsAsItGoes")
    assert not isinstance(kinds.schema("kite", HERE), Problem)
    kind = kinds.get("kite", HERE)
    assert not isinstance(kind, Problem)
    assert estimate_safely(kind, context(), "x").problems == ()
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err == "made\nasked for the schema\nasked for the estimate\n"


@pytest.mark.parametrize(
    ("target", "remedy"),
    [
        ("FromAnotherDoor", "install a newer platewright"),
        ("FromAnOlderDoor", "ask its author for one written for door 1"),
    ],
)
def test_a_kind_of_another_door_is_told_who_can_mend_it(target: str, remedy: str) -> None:
    problem = registry(kite=target).get("kite", HERE)
    assert isinstance(problem, Problem)
    assert problem.remedy == remedy


def test_a_sound_kind_passes_unchanged() -> None:
    assert estimate_safely(broken_kinds.Sound(), context(), "x").problems == ()


def test_rules_of_a_kind_are_the_constants_of_its_package() -> None:
    Registry().get("miniature", HERE)
    names = [rule.name for rule in rules_of("planner_plugins.miniature")]
    assert "miniature.set_up" in names
    assert names == sorted(set(names))
