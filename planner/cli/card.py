"""``platewright card``: the set-up card of one photographed element."""

from __future__ import annotations

import re
import sys
from dataclasses import replace
from typing import TYPE_CHECKING

import click

from planner.cli.named import did_you_mean
from planner.cli.opening import SHOW, arrange_opened, effort_options, kinds_of, open_sound, tell
from planner.cli.sentences import say

if TYPE_CHECKING:
    from pathlib import Path

    from planner.cli.opening import Effort, Opened
    from planner.kinds import Context, Estimate
    from planner.model.place import Problem
    from planner.model.quantity import Quantity
    from planner.model.show import Show
    from planner.pages.card_values import SetUpCard


@click.command("card")
@SHOW
@click.argument("id_", metavar="SHOT.ELEMENT")
@click.option("--scale", help="Reckon it at this scale instead, such as 1/5.")
@click.option("--dates", is_flag=True, help="Run the stage order and print when.")
@click.option("--why", metavar="NUMBER", help="Open the card's numbers that begin so instead.")
@click.option("--json", "as_json", is_flag=True, help="For machines.")
@effort_options
def command(  # noqa: PLR0913 - one argument each of the command line
    folder: Path,
    id_: str,
    effort: Effort,
    *,
    scale: str | None,
    dates: bool,
    why: str | None,
    as_json: bool,
) -> None:
    """Print the set-up card of SHOT.ELEMENT: everything the floor dials in, on one page.

    Each number carries the mark of its standing, explained at the head; a blank is a fact nobody
    has. Cards are for what stands before a camera: plates, miniatures, puppets, paintings,
    photographed shadows.
    """
    from planner.pages.card import card_json, card_text

    opened = open_sound(folder)
    card = card_of(opened, known_element(opened.show, id_), scale)
    if why is not None:
        _open_numbers(card, why)
        return
    if dates:
        order = arrange_opened(opened, effort)
        calls = tuple(call for call in order.calls if call.element == id_)
        card = replace(card, calls=calls)
    click.echo(card_json(card) if as_json else card_text(card), nl=as_json)


def _open_numbers(card: SetUpCard, beginning: str) -> None:
    """Print the arithmetic of numbers by how their names begin; none ends the command."""
    from planner.pages.reasons import reason_text

    numbers = {**card.dial, **card.estimate.quantities}
    found = [reason_text(each) for name, each in numbers.items() if name.startswith(beginning)]
    if not found:
        known = ", ".join(sorted(numbers))
        say(f"{card.element.id} has no number called {beginning}; it has {known}")
        sys.exit(2)
    click.echo("\n".join(found), nl=False)


def card_of(opened: Opened, id_: str, scale: str | None = None) -> SetUpCard:
    """Everything on the card; an element that has none ends the command."""
    from planner.kinds.dial import dial_in, is_photographed
    from planner.kinds.strike import cautions, checks_before_strike
    from planner.pages.card import other_than_card
    from planner.pages.card_values import SetUpCard

    context, estimate = _stands(opened, id_)
    if not is_photographed(estimate):
        click.echo(other_than_card(context.element, estimate), err=True, nl=False)
        sys.exit(2)
    mine = (p for p in opened.findings if p.about == id_ or _is_named(id_, p.message))
    findings = tuple(sorted(mine))
    asked = ""
    if scale is not None:
        tried = _asked(scale)
        context, estimate = _at_scale(opened, context, tried)
        raised = _raised(opened, context, tried)
        findings = tuple(sorted({*estimate.problems, *raised}))
        asked = "asked for this card"
    return SetUpCard(
        context.show,
        context.element,
        estimate,
        dial_in(context, estimate),
        checks_before_strike(context, estimate),
        cautions(context, estimate),
        tuple(each for each in findings if not each.code.startswith("caution-")),
        asked=asked,
    )


def _stands(opened: Opened, id_: str) -> tuple[Context, Estimate]:
    from planner.kinds import Context

    element, made = opened.show.elements[id_], opened.estimates.by_element
    upstream = {r.target: made[r.target] for r in element.references if r.waits}
    return Context(opened.show, element, upstream), made[id_]


def _is_named(id_: str, sentence: str) -> bool:
    """Whether a sentence names an element, and not one whose name begins or ends so."""
    return re.search(rf"(?<![\w.]){re.escape(id_)}(?!\.?\w)", sentence) is not None


def _asked(written: str) -> Quantity:
    """The scale of ``--scale``; one that is none ends the command."""
    from planner.model.quantity import Quantity, Standing
    from planner.text.measures import read_scale

    read = read_scale(written)
    if isinstance(read, str):
        click.echo(f"--scale: {read}", err=True)
        sys.exit(2)
    return Quantity("scale", read, "1:N", Standing.ASSUMED, text=written, reason="asked for")


def _at_scale(opened: Opened, context: Context, asked: Quantity) -> tuple[Context, Estimate]:
    """The element asked again at another scale; one that has none of its own ends the command."""
    from planner.estimate.scales import show_at
    from planner.kinds import estimate_safely
    from planner.model.place import Problem

    id_ = context.element.id
    show = show_at(opened.show, id_, asked)
    tried = replace(context, show=show, element=show.elements[id_])
    kinds = kinds_of(show)
    kind = kinds.get(tried.element.kind, tried.element.place)
    if isinstance(kind, Problem):
        tell((kind,))
        sys.exit(1)
    estimate = estimate_safely(kind, tried, kinds.distribution(tried.element.kind))
    reached = estimate.quantities.get("scale")
    if reached is None or reached.value != asked.value:
        say(f"{id_} has no scale of its own to change")
        sys.exit(2)
    return tried, estimate


def _raised(opened: Opened, context: Context, asked: Quantity) -> tuple[Problem, ...]:
    """What the scale raises of the build and of the element, as the comparison of scales says."""
    from planner.estimate.scales import Ground, study_scale

    build = context.element.target("build")
    if not build:
        return ()
    ground = Ground(opened.show, opened.graph, kinds_of(opened.show), opened.estimates)
    trials = study_scale(ground, build, (asked,)).trials
    about = {build, context.element.id}
    return tuple(each for trial in trials for each in trial.problems if each.about in about)


def known_element(show: Show, id_: str) -> str:
    """The id of an element; a name that nothing has, or a shot's, ends the command with code 2."""
    if id_ in show.elements:
        return id_
    if id_ in show.shots:
        own = ", ".join(show.shots[id_].elements) or "none"
        say(f"a card is of one element; of {id_} there are {own}")
        sys.exit(2)
    hint = did_you_mean(id_, show.elements)
    say(f"nothing in {show.title} is called {id_}{hint}")
    sys.exit(2)
