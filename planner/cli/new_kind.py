"""``platewright new-kind``: a distribution of one element kind to begin from, with its tests."""

from __future__ import annotations

import keyword
import re
import sys
from importlib.resources import files
from pathlib import Path

import click

from planner.cli.new import in_use

LONGEST = 40
# Template beside this module, and where it is written; `@kind@` stands for the name.
WRITTEN = {
    "pyproject.toml.in": "pyproject.toml",
    "kind.py.in": "platewright_@kind@/__init__.py",
    "schema.json.in": "platewright_@kind@/schema.json",
    "test_kind.py.in": "tests/test_@kind@.py",
}


@click.command("new-kind")
@click.argument("name")
@click.option(
    "--to",
    "folder",
    type=click.Path(path_type=Path),
    help="Folder to write, new or empty; platewright_NAME unless given.",
)
def command(name: str, folder: Path | None) -> None:
    """Write a distribution that adds the element kind NAME, with a schema and tests that pass.

    Install it with `pip install -e FOLDER`, run its tests, then change one thing at a time.
    DEVELOPERS.md is its guide.
    """
    from planner.pages.files import write_bytes
    from planner.pages.wording import folded

    target = folder or Path(f"platewright_{name}")
    refusal = _unfit(name) or _taken(name) or in_use(target, " with --to")
    if refusal:
        click.echo("\n".join(folded(refusal)), err=True)
        sys.exit(2)
    try:
        for template, written in WRITTEN.items():
            path = target / _named(written, name)
            text = (files("planner.cli") / "new_kind_files" / template).read_text(encoding="utf-8")
            write_bytes(path, _named(text, name).encode())
            click.echo(f"wrote {path}")
    except OSError as error:
        click.echo(f"{target} cannot be written: {error.strerror}", err=True)
        sys.exit(1)
    click.echo(f"now: pip install -e '{target}[dev]' && pytest {target}")


def _named(text: str, name: str) -> str:
    title = "".join(word.capitalize() for word in name.split("_"))
    dashed = name.replace("_", "-")
    return text.replace("@kind@", name).replace("@Kind@", title).replace("@dashed@", dashed)


def _unfit(name: str) -> str:
    """Why a name cannot be a kind's; empty where it can."""
    if re.fullmatch(r"[a-z][a-z0-9]*(_[a-z0-9]+)*", name) is None or len(name) > LONGEST:
        return (
            f"a kind cannot be called {name!r}; write small letters and digits, words joined by"
            f" single underscores, beginning with a letter, at most {LONGEST} in all"
        )
    if keyword.iskeyword(name):
        return f"a kind cannot be called {name}, which is a word of Python; name it otherwise"
    return ""


def _taken(name: str) -> str:
    from planner.kinds import Registry

    kinds = Registry()
    if name not in kinds.names:
        return ""
    return f"{kinds.distribution(name)} has a kind called {name} already; name yours otherwise"
