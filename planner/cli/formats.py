"""``platewright formats``: frame formats known, with where their sizes come from."""

from __future__ import annotations

import click


@click.command("formats")
@click.option("--json", "as_json", is_flag=True, help="For machines.")
def command(*, as_json: bool) -> None:
    """List frame formats; the first column is what a show file writes."""
    from planner.craft.formats import FRAME_FORMATS
    from planner.pages.catalogue import formats_text
    from planner.pages.machine import values_json

    formats = list(FRAME_FORMATS.values())
    click.echo(f"{values_json(formats)}\n" if as_json else formats_text(formats), nl=False)
