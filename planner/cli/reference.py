"""``platewright reference``: what may be stated, and what is reckoned, as pages to read."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.pages.reference import Check, Room


@click.command("reference")
@click.option(
    "--to",
    "target",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("reference"),
    show_default=True,
    help="Folder to write into.",
)
def command(target: Path) -> None:
    """Write facts.html, every fact a show may state, and formulas.html, every formula.

    Both are made from what is installed: schemas of the files and of every kind, plugins'
    own among them, and the arithmetic's own words, with its sources and the checks that hold
    it. They need no network and no script, and print on A4.
    """
    from planner import __version__
    from planner.pages.files import write_text
    from planner.pages.reference import facts_html, facts_pages, formulas_html
    from planner.text.show_folder import file_schemas

    kinds, broken = _kinds()
    facts = facts_html(facts_pages(file_schemas(), kinds, _shows()), broken, __version__)
    pages = {
        "facts.html": facts,
        "formulas.html": formulas_html(rooms(), checks(), __version__),
    }
    for name, text in pages.items():
        try:
            write_text(target / name, text)
        except OSError as error:
            click.echo(f"{target / name} cannot be written: {error.strerror}", err=True)
            sys.exit(1)
        click.echo(f"wrote {target / name}")


def _kinds() -> tuple[dict[str, tuple[Mapping[str, object], str]], list[str]]:
    """Schemas of installed kinds with their distributions, and what is wrong with the others."""
    from planner.kinds import Registry
    from planner.model.place import Place, Problem

    registry = Registry()
    sound: dict[str, tuple[Mapping[str, object], str]] = {}
    broken: list[str] = []
    for name in registry.names:
        schema = registry.schema(name, Place(name))
        if isinstance(schema, Problem):
            broken.append(f"{schema.message}; {schema.remedy}")
        else:
            sound[name] = (schema, registry.distribution(name))
    return sound, broken


def _shows() -> str:
    """Text of the show that comes with the planner, and of the example shows where they stand."""
    import planner

    home = Path(planner.__path__[0])
    folders = (home.parent / "example_shows", home / "cli" / "starter_show")
    # What a finished shot had is told last: there a clean plate is not named but of a sort.
    paths = (
        path
        for folder in folders
        for path in sorted(folder.rglob("*.yaml"), key=lambda each: (each.stem == "history", each))
    )
    return "\n".join(path.read_text(encoding="utf-8") for path in paths)


def rooms() -> list[Room]:
    """The modules of the arithmetic that have formulas."""
    from planner import craft
    from planner.pages.reference import Room, formulas_in, module_says

    found = []
    for path in sorted(Path(craft.__path__[0]).glob("*.py")):
        text = path.read_text(encoding="utf-8")
        formulas = tuple(formulas_in(path.stem, text))
        if formulas:
            found.append(Room(path.stem, module_says(text), formulas))
    return found


def checks() -> Mapping[str, tuple[Check, ...]] | None:
    """The checks by formula, where the tests stand beside the source; None where they do not."""
    import planner
    from planner.pages.reference import checks_in
    from planner.pages.reference.marks import MARKS

    folder = Path(planner.__path__[0]).parent / "tests" / "craft"
    if not folder.is_dir():
        return None
    found: dict[str, tuple[Check, ...]] = {}
    for path in sorted(folder.glob("test_*.py")):
        for name, each in checks_in(path.name, path.read_text(encoding="utf-8")).items():
            found[name] = (*found.get(name, ()), *each)
    return {
        name: tuple(sorted(each, key=lambda check: MARKS.index(check.mark)))
        for name, each in found.items()
    }
