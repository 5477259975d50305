"""``platewright formats``: frame formats known, with where their sizes come from."""

from __future__ import annotations

import click


@click.command("formats")
def command() -> None:
    """List frame formats; the first column is what a show file writes."""
    from planner.craft.formats import FRAME_FORMATS
    from planner.pages.catalogue import formats_text

    click.echo(formats_text(FRAME_FORMATS.values()), nl=False)
