"""``platewright rules``: rules of thumb the kinds estimate by."""

from __future__ import annotations

import click


@click.command("rules")
@click.option("--json", "as_json", is_flag=True, help="For machines.")
def command(*, as_json: bool) -> None:
    """List rules of thumb with their range: low, likely, high.

    A show puts its own figures in their place in show.yaml, under `rules`, by the name printed:
    `rules: {miniature.set_up: {low: 2, likely: 4, high: 7, by: the gaffer}}`.
    """
    import planner.estimate
    from planner.kinds import Registry, rules_of
    from planner.model.place import Place, Problem
    from planner.pages.catalogue import rules_text
    from planner.pages.machine import values_json

    kinds = Registry()
    loaded = {name: kinds.get(name, Place(name)) for name in kinds.names}
    sound = {name: kind for name, kind in loaded.items() if not isinstance(kind, Problem)}
    shared = set(rules_of("planner.kinds"))
    rules = {
        name: tuple(rule for rule in rules_of(type(kind).__module__) if rule not in shared)
        for name, kind in sound.items()
    }
    rules["between the pieces of a shot"] = tuple(
        rule for rule in rules_of(planner.estimate.__name__) if rule not in shared
    )
    rules["shared by kinds"] = rules_of("planner.kinds")
    told = {name: each for name, each in rules.items() if each}
    click.echo(f"{values_json(told)}\n" if as_json else rules_text(told), nl=False)
