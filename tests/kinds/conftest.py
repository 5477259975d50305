"""The tiny shows of tests/plugins, for the rooms that kinds share."""

from __future__ import annotations

from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path

_spec = spec_from_file_location(
    "tiny_shows", Path(__file__).parent.parent / "plugins" / "conftest.py"
)
assert _spec
assert _spec.loader
_tiny_shows = module_from_spec(_spec)
_spec.loader.exec_module(_tiny_shows)

make = _tiny_shows.make
quantity = _tiny_shows.quantity
finding = _tiny_shows.finding
