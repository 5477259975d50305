"""``platewright kinds``: what elements there are, and what each may state."""

from __future__ import annotations

import sys

import click


@click.command("kinds")
@click.argument("name", required=False)
def command(name: str | None) -> None:
    """List element kinds; with NAME, list what that kind may state.

    `every` lists what all of them may state. What builds.yaml may hold are the kinds build, test,
    permit, standing_set (under `sets`) and decision.
    """
    from planner.kinds import Registry
    from planner.model.place import Place, Problem
    from planner.pages.catalogue import every_kind_text, kind_text, kinds_text
    from planner.pages.wording import folded
    from planner.text.show_folder import file_schemas

    kinds = Registry()
    if name is None:
        titles = {each: kinds.schema(each, Place("kinds")) for each in kinds.names}
        click.echo(kinds_text({each: _title(schema) for each, schema in titles.items()}), nl=False)
        return
    if name == "every":
        click.echo(every_kind_text(file_schemas()), nl=False)
        return
    schema = kinds.schema(name, Place("kinds"))
    if isinstance(schema, Problem):
        click.echo("\n".join(folded(f"{schema.message}; {schema.remedy}")), err=True)
        sys.exit(2)
    click.echo(kind_text(name, schema, file_schemas()), nl=False)


def _title(schema: object) -> str:
    from planner.model.place import Problem

    if isinstance(schema, Problem):
        return schema.message
    return str(schema.get("title", "")) if isinstance(schema, dict) else ""
