"""``platewright editor``: schemas for completion in text editors."""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING

import click

from planner.cli.opening import SHOW

if TYPE_CHECKING:
    from pathlib import Path


@click.command("editor")
@SHOW
def command(folder: Path) -> None:
    """Write SHOW/.editor/, schemas that give completion and checking in text editors.

    An editor that knows YAML schemas finds them by the first line of each file, such as
    `# yaml-language-server: $schema=.editor/show.json`. Write them again after installing a kind.
    """
    from planner.kinds import Registry
    from planner.model.place import Place, Problem
    from planner.pages.files import write_text
    from planner.text.bundle import bundles
    from planner.text.show_folder import file_schemas

    if not (folder / "show.yaml").is_file():
        click.echo(f"{folder} holds no show.yaml, so it is not a show", err=True)
        sys.exit(1)
    kinds = Registry()
    schemas = {name: kinds.schema(name, Place(name)) for name in kinds.names}
    sound = {name: each for name, each in schemas.items() if not isinstance(each, Problem)}
    for name, schema in bundles(file_schemas(), sound).items():
        path = folder / ".editor" / f"{name}.json"
        try:
            write_text(path, json.dumps(schema, indent=1, ensure_ascii=False) + "\n")
        except OSError as error:
            click.echo(f"{path} cannot be written: {error.strerror}", err=True)
            sys.exit(1)
        click.echo(f"wrote {path}")
