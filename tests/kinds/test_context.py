"""What a kind may ask of its surroundings, and what it may refuse."""

from __future__ import annotations

from planner.kinds import Context, Worksheet, names_in


def test_who_names_it_is_told_by_role(make) -> None:
    others = {
        "S010.rods": ("roto", {"removes_rods_of": "S010.it"}),
        "S010.comp": ("composite", {"joins": ("S010.it", "S010.rods")}),
    }
    context = make("puppet", {}, elements=others)
    assert [each.id for each in context.users()] == ["S010.rods", "S010.comp"]
    assert [each.id for each in context.users("joins")] == ["S010.comp"]
    assert context.users("shadow_of") == ()


def test_names_given_once_answer_the_same(make) -> None:
    context = make("puppet", {}, elements={"S010.comp": ("composite", {"joins": "S010.it"})})
    given = Context(context.show, context.element, {}, names_in(context.show))
    assert given.users() == context.users()


def test_one_name_and_several_read_alike(make) -> None:
    assert make("plate", {"stage": "north"}).names("stage") == ("north",)
    assert make("plate", {"stage": ("north", "south")}).names("stage") == ("north", "south")
    assert make("plate", {}).names("stage") == ()


def test_nothing_where_something_must_be_is_told_once(make, quantity, finding) -> None:
    sheet = Worksheet(make("plate", {"nearest": quantity(0, "mm")}))
    for _ in range(2):
        assert sheet.positive(sheet.element.facts.number("nearest"), "nearest") is None
    assert "0 mm" in finding(sheet.estimate(), "not-above-zero").message
    assert sheet.positive(quantity(5, "mm"), "nearest").value == 5
    assert sheet.positive(None, "nearest") is None
