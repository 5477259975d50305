"""``platewright reckon``: one formula of the trade, worked out for the numbers typed."""

from __future__ import annotations

import re
import sys
from dataclasses import replace
from importlib import import_module
from inspect import Parameter, signature
from typing import TYPE_CHECKING

import click

from planner.cli.named import did_you_mean

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.pages.reference import Formula, Room

_TYPED = {"float", "int", "bool", "str"}
_GUARDS = "demands"
_EXAMPLE = re.compile(r"^ *(\w+):.*\bsuch as `*([\w-]+)", re.MULTILINE)


@click.command("reckon")
@click.argument("formula", required=False)
@click.argument("numbers", metavar="[NAME=VALUE]...", nargs=-1)
@click.option("--json", "as_json", is_flag=True, help="For machines.")
def command(formula: str | None, numbers: tuple[str, ...], *, as_json: bool) -> None:
    """Work out one formula for the numbers typed, as on the floor.

    Without a formula, list them; with the heading of a list, or a word that several have, list
    those; with a formula and no numbers, say what it asks for. A number without a unit is in the
    unit that the name says; the unit may be left out of the name, and so may all of its end that
    is not needed to tell it from others:

    \b
        platewright reckon hyperfocal focal=50mm f_number=f/4 coc=0.03
        platewright reckon gravity-fps scale=1:16
        platewright reckon foot-candles-needed t=T2.8 exposure=100 seconds=1/48
    """  # noqa: D301 - click wants the character itself
    rooms = _rooms()
    if formula is None:
        _list(rooms, as_json=as_json)
        return
    chosen = _chosen(rooms, formula)
    if not isinstance(chosen, list):
        _reckon(chosen, numbers, as_json=as_json)
    elif chosen:
        _list(chosen, as_json=as_json)
    else:
        _tell_unknown(rooms, formula)


def _rooms() -> list[Room]:
    """The formulas that take nothing but numbers and words; others take values of a show."""
    from planner.cli.reference import rooms

    told = (
        replace(room, formulas=tuple(each for each in room.formulas if _is_typed(each)))
        for room in rooms()
        if room.name != _GUARDS
    )
    return [room for room in told if room.formulas]


def _is_typed(formula: Formula) -> bool:
    return all(str(each.annotation) in _TYPED for each in _parameters(formula).values())


def _parameters(formula: Formula) -> dict[str, Parameter]:
    return dict(signature(_function(formula)).parameters)


def _function(formula: Formula) -> Callable[..., object]:
    found: Callable[..., object] = getattr(
        import_module(f"planner.craft.{formula.module}"), formula.name
    )
    return found


def _chosen(rooms: list[Room], word: str) -> Formula | list[Room]:
    """The formula of that name, the room of that name, or the rooms with those that have it."""
    from planner.text.arguments import without_unit

    name = word.replace("-", "_").lower()
    formulas = [each for room in rooms for each in room.formulas]
    for each in formulas:
        if name in {each.name, each.id}:
            return each
    short = [each for each in formulas if without_unit(each.name) == name]
    if len(short) == 1:
        return short[0]
    if whole := [room for room in rooms if room.name == name]:
        return whole
    with_it = (
        replace(
            room,
            formulas=tuple(
                each
                for each in room.formulas
                if name in each.name or word.lower() in each.gives.lower()
            ),
        )
        for room in rooms
    )
    return [room for room in with_it if room.formulas]


def _list(rooms: list[Room], *, as_json: bool) -> None:
    from planner.pages.machine import values_json
    from planner.pages.reckoned import formulas_text

    formulas = [each for room in rooms for each in room.formulas]
    click.echo(f"{values_json(formulas)}\n" if as_json else formulas_text(rooms), nl=False)


def _reckon(formula: Formula, numbers: tuple[str, ...], *, as_json: bool) -> None:
    from planner.pages.machine import values_json
    from planner.pages.reckoned import formula_text, reckoned_text, results
    from planner.text.arguments import read_arguments

    if not numbers:
        click.echo(f"{values_json(formula)}\n" if as_json else formula_text(formula), nl=False)
        return
    parameters = _parameters(formula)
    standing_in = {
        name: each.default for name, each in parameters.items() if each.default is not each.empty
    }
    wanted = {name: str(each.annotation) for name, each in parameters.items()}
    typed, wrong = read_arguments(numbers, wanted, frozenset(standing_in), _examples(formula))
    if wrong:
        _refuse(wrong)
    values = {name: typed.get(name, standing_in.get(name)) for name in wanted}
    try:
        found = _function(formula)(**values)
    except ValueError as error:
        _refuse([str(error)])
    except ArithmeticError:
        _refuse(["what comes of these numbers is past all that can be reckoned with"])
    if as_json:
        click.echo(values_json({"given": values, "found": results(formula, found)}))
    else:
        click.echo(reckoned_text(formula, values, found), nl=False)


def _examples(formula: Formula) -> dict[str, str]:
    """Words that the formula's own description of what it asks for gives as an example."""
    return dict(_EXAMPLE.findall(formula.parts.get("Args", "")))


def _refuse(sentences: list[str] | tuple[str, ...]) -> None:
    for sentence in sentences:
        click.echo(sentence, err=True)
    sys.exit(2)


def _tell_unknown(rooms: list[Room], word: str) -> None:
    names = [each.name.replace("_", "-") for room in rooms for each in room.formulas]
    hint = did_you_mean(word, names) or "; `platewright reckon` lists them"
    _refuse([f"no formula is called {word}{hint}"])
