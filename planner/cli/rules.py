"""``platewright rules``: rules of thumb the kinds estimate by."""

from __future__ import annotations

import click


@click.command("rules")
def command() -> None:
    """List rules of thumb with their range: low, likely, high.

    A show puts its own figures in their place in show.yaml, under `rules`, by the name printed:
    `rules: {miniature.light: {low: 2, likely: 4, high: 7, by: the gaffer}}`.
    """
    from planner.kinds import Registry
    from planner.model.place import Place, Problem
    from planner.pages.catalogue import rules_text

    kinds = Registry()
    loaded = {name: kinds.get(name, Place(name)) for name in kinds.names}
    rules = {name: kind.rules for name, kind in loaded.items() if not isinstance(kind, Problem)}
    click.echo(rules_text({name: each for name, each in rules.items() if each}), nl=False)
