"""``platewright kinds``: what elements there are, and what each may state."""

from __future__ import annotations

import sys

import click


@click.command("kinds")
@click.argument("name", required=False)
@click.option("--json", "as_json", is_flag=True, help="For machines.")
def command(name: str | None, *, as_json: bool) -> None:
    """List element kinds; with NAME, list what that kind may state.

    `every` lists what all of them may state. What builds.yaml may hold are the kinds build, test,
    permit, standing_set (under `sets`) and decision.
    """
    from planner.kinds import Registry
    from planner.model.place import Place, Problem
    from planner.pages.catalogue import ELSEWHERE, every_kind_text, kind_text, kinds_text
    from planner.pages.machine import values_json
    from planner.pages.wording import folded
    from planner.text.show_folder import file_schemas

    kinds = Registry()
    shared = file_schemas()
    if name is None:
        titles = {each: _title(kinds.schema(each, Place("kinds"))) for each in kinds.names}
        said: tuple[object, str] = titles, kinds_text(titles)
    elif name == "every":
        said = shared["element.json"], every_kind_text(shared)
    else:
        schema = kinds.schema(name, Place("kinds"))
        if isinstance(schema, Problem):
            told = f"{schema.message}; {schema.remedy}"
            click.echo("\n".join([*folded(told), *folded(ELSEWHERE)]), err=True)
            sys.exit(2)
        said = schema, kind_text(name, schema, shared)
    click.echo(f"{values_json(said[0])}\n" if as_json else said[1], nl=False)


def _title(schema: object) -> str:
    from planner.model.place import Problem

    if isinstance(schema, Problem):
        return schema.message
    return str(schema.get("title", "")) if isinstance(schema, dict) else ""
