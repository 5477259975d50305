"""What `blocking` keeps is never told for another day's news: the season, with an order issued."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.cli import blocking
from tests.cli.test_commands import QUICK, run
from tests.test_season import DAYS, copied

if TYPE_CHECKING:
    from pathlib import Path

    import pytest


def test_after_each_post_of_the_season_it_says_what_it_says_with_nothing_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    season = copied(tmp_path)
    assert run("order", season.folder, "--issue", *QUICK).exit_code == 0
    for day, names in DAYS:
        for name in names:
            _tell(season.folder, day, name)
        asked = ("--on", day, *QUICK)
        told = season.run("blocking", *asked)
        with monkeypatch.context() as kept_only:
            # Said once more from what is kept: nothing is worked out, or this fails.
            kept_only.delattr(blocking, "blocking_of")
            assert season.run("blocking", *asked) == told
        with monkeypatch.context() as nothing_kept:
            nothing_kept.setenv("PLATEWRIGHT_CACHE", "off")
            assert season.run("blocking", *asked) == told


def _tell(folder: Path, day: str, name: str) -> None:
    path, on = folder / "season" / name, ("--on", day)
    signed = ("--author", "the coordinator", "--accept", *QUICK)
    command = (
        ("recut", folder, path, *signed) if ".cut" in name else ("post", folder, "--from", path)
    )
    result = run(*command, *on)
    assert result.exit_code == 0, result.output
