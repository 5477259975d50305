"""What waits for what: order, reach, cycles and shots without a composite."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.graph import build_graph, build_graph_again
from planner.kinds import Registry
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from planner.graph import ElementGraph
    from planner.model.place import Problem
    from planner.model.show import Show
    from tests.conftest import ShowFolder


def graph_of(show: ShowFolder) -> tuple[ElementGraph, tuple[Problem, ...]]:
    read, problems = load_show(show.path, Registry())
    assert problems == ()
    assert read is not None
    return build_graph(read)


def test_everything_comes_after_what_it_waits_for(show: ShowFolder) -> None:
    graph, problems = graph_of(show)
    assert problems == ()
    place = {id_: number for number, id_ in enumerate(graph.order)}
    assert all(place[upstream] < place[downstream] for upstream, downstream in graph.arrows.edges)
    assert set(graph.order) == {"hill_town", "HL010.sky", "HL010.town", "HL010.final"}


def test_a_change_reaches_what_waits_for_it_and_no_more(show: ShowFolder) -> None:
    graph, _problems = graph_of(show)
    assert graph.downstream("hill_town") == {"HL010.town", "HL010.final"}
    assert graph.upstream("HL010.sky") == set()


def test_an_arrow_keeps_the_word_it_was_written_under(show: ShowFolder) -> None:
    graph, _problems = graph_of(show)
    assert graph.arrows.edges["HL010.town", "HL010.final"]["role"] == "joins"


def test_a_cycle_is_told_by_its_path_and_the_rest_still_orders(show: ShowFolder) -> None:
    show.replace(
        "sequences/hill.yaml",
        "sky: {kind: plate, sort: live, on: location}",
        "sky: {kind: plate, sort: live, on: location, waits_for: final}",
    )
    graph, problems = graph_of(show)
    (cycle,) = problems
    assert cycle.code == "cycle"
    assert "HL010.final -> HL010.sky -> HL010.final" in cycle.message
    assert len(graph.order) == 4


def test_a_cycle_is_told_once_at_the_stray_arrow_with_the_others_named(show: ShowFolder) -> None:
    # Two ways round: by the build and the town to the composite, and from the town straight to it.
    # One arrow closes both, and it is the one that no picture is made of.
    show.replace(
        "sequences/hill.yaml",
        "final: {kind: composite, joins: [sky, town]}",
        "final: {kind: composite, joins: [sky, town], waits_for: late}\n"
        "      late: {kind: plate, sort: live, on: location, waits_for: [town, sky]}",
    )
    text = (show.path / "sequences/hill.yaml").read_text(encoding="utf-8")
    town = text.index("kind: miniature")
    show.replace(
        "sequences/hill.yaml", "kind: miniature", "kind: miniature\n        waits_for: [final]"
    )
    graph, (cycle,) = graph_of(show)
    assert cycle.about == "HL010.town"
    assert cycle.place.line == text[:town].count("\n") + 2
    assert "likely the slip: `waits_for` HL010.final in HL010.town, here" in cycle.remedy
    assert "sequences/hill.yaml:" in cycle.remedy.partition("Others: ")[2]
    assert graph.arrows.has_edge("HL010.town", "HL010.final")


def test_a_relation_that_does_not_wait_is_no_arrow(show: ShowFolder) -> None:
    show.replace(
        "sequences/hill.yaml",
        "sky: {kind: plate, sort: live, on: location}",
        "sky: {kind: plate, sort: live, on: location, in_front_of: town}",
    )
    graph, problems = graph_of(show)
    assert problems == ()
    assert not graph.arrows.has_edge("HL010.town", "HL010.sky")
    assert graph.relations.has_edge("HL010.sky", "HL010.town")


def test_a_live_shot_without_a_composite_is_an_error(show: ShowFolder) -> None:
    show.replace("sequences/hill.yaml", "      final: {kind: composite, joins: [sky, town]}\n", "")
    _graph, problems = graph_of(show)
    assert [problem.code for problem in problems] == ["composite-not-one"]
    assert "HL010 has no composite" in problems[0].message


def test_a_graph_made_again_is_the_graph_made_afresh(show: ShowFolder) -> None:
    hill = "sequences/hill.yaml"

    def read() -> Show:
        found, _problems = load_show(show.path, Registry())
        assert found is not None
        return found

    steps = (
        ("nearest: 40 m", "nearest: 41 m"),  # nothing that anything waits for
        ("joins: [sky, town]", "joins: [town]"),
        ("joins: [town]", "joins: [town, sky]"),
        ("sort: live", "sort: live, waits_for: final"),  # a cycle
        ("waits_for: final", "waits_for: [final, town]"),
        (", waits_for: [final, town]", ""),
    )
    before = read()
    graph, _ = build_graph(before)
    for was, now in steps:
        show.replace(hill, was, now)
        after = read()
        again, told_again = build_graph_again(after, (before, graph))
        fresh, told = build_graph(after)
        assert told_again == told
        assert again.order == fresh.order
        assert again.composites == fresh.composites
        assert list(again.arrows.edges(data=True)) == list(fresh.arrows.edges(data=True))
        assert list(again.relations.edges(data=True)) == list(fresh.relations.edges(data=True))
        before, graph = after, again
