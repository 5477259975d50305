"""``platewright watch``: saves are given to it one by one, so that nothing waits."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.cli import watch as watching
from planner.cli.watch import changes, watch

if TYPE_CHECKING:
    from collections.abc import Iterator

    import pytest

    from planner.cli.opening import Opened

HILL = "sequences/hill.yaml"


def test_a_save_that_breaks_something_and_one_that_mends_it_are_told(
    show, capsys: pytest.CaptureFixture[str]
) -> None:
    def saves() -> Iterator[tuple[str, ...]]:
        capsys.readouterr()
        show.replace(HILL, "nearest: 40 m", "nearest: 40 kg")
        yield (HILL,)
        told.append(capsys.readouterr().out)
        show.replace(HILL, "nearest: 40 kg", "nearest: 40 m")
        yield (HILL,)
        told.append(capsys.readouterr().out)

    told: list[str] = []
    watch(show.path, saves())
    broken, mended = told
    assert "saved: sequences/hill.yaml" in broken
    assert "40 kg is a mass" in broken
    assert "1 error," in broken
    assert "gone" in mended.split("0 errors")[0]
    assert "40 kg is a mass" in mended


def test_a_finding_that_only_moves_down_a_line_is_not_news(
    show, capsys: pytest.CaptureFixture[str]
) -> None:
    def saves() -> Iterator[tuple[str, ...]]:
        capsys.readouterr()
        text = (show.path / HILL).read_text(encoding="utf-8")
        show.write(HILL, f"# a remark\n{text}")
        yield (HILL,)

    watch(show.path, saves())
    out = capsys.readouterr().out
    assert "nothing new" in out
    assert "gone" not in out


def test_what_is_found_at_first_is_counted(show, capsys: pytest.CaptureFixture[str]) -> None:
    # show.yaml, resources.yaml and their like lie beside the sequence: every file is watched.
    files = len([*show.path.glob("*.yaml"), *show.path.glob("sequences/*.yaml")])
    show.replace(HILL, "nearest: 40 m", "nearest: 40 kg")
    watch(show.path, ())
    out = capsys.readouterr().out
    assert out.startswith("1 error, ")
    assert f"watching {files} files.\n" in out
    assert f"`platewright check {show.path}` lists them." in out


def test_pages_are_refreshed_only_while_the_show_can_be_read(show) -> None:
    seen: list[Opened] = []

    def saves() -> Iterator[tuple[str, ...]]:
        yield ("show.yaml",)
        (show.path / "show.yaml").unlink()
        yield ("show.yaml",)

    watch(show.path, saves(), seen.append)
    # At the beginning and after the first save; after the second nothing can be read.
    assert [each.show.title for each in seen] == ["A small show"] * 2


def test_a_change_is_told_once_two_looks_agree(show) -> None:
    steps = iter(
        (
            lambda: show.write("rates.yaml", "rates: {"),  # half written
            lambda: show.write("rates.yaml", "rates: {}\n"),  # whole
            lambda: None,
            lambda: show.write("moves/new.csv", "frame,pan deg\n1,0\n"),
            lambda: None,
        )
    )
    looks = 0

    def wait() -> None:
        nonlocal looks
        looks += 1
        next(steps)()

    saves = changes(show.path, wait)
    assert next(saves) == ("rates.yaml",)
    assert looks == 3
    assert next(saves) == ("moves/new.csv",)


def test_control_c_ends_it_with_a_sentence_and_no_error(
    show, monkeypatch: pytest.MonkeyPatch
) -> None:
    from click.testing import CliRunner

    from planner.cli import group

    def interrupted(_seconds: float) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(watching, "sleep", interrupted)
    result = CliRunner().invoke(group, ["watch", str(show.path)])
    assert result.exit_code == 0
    assert "no longer watched" in result.output


def test_a_report_is_written_anew_after_each_save_and_left_while_files_hold_errors(
    show, tmp_path, capsys: pytest.CaptureFixture[str]
) -> None:
    from planner.cli.opening import Effort
    from planner.cli.report import kept_up_to_date

    target = tmp_path / "r.html"
    pages: list[str] = []

    def saves() -> Iterator[tuple[str, ...]]:
        pages.append(target.read_text(encoding="utf-8"))
        show.replace(HILL, "nearest: 40 m", "nearest: 40 kg")
        yield (HILL,)
        pages.append(target.read_text(encoding="utf-8"))
        show.replace(HILL, "nearest: 40 kg", "nearest: 40 m")
        show.replace(HILL, "The town below.", "The town above.")
        yield (HILL,)
        pages.append(target.read_text(encoding="utf-8"))

    watch(show.path, saves(), kept_up_to_date(target, Effort(None, 0, 0)))
    first, broken, mended = pages
    assert broken == first
    assert "The town below." in first
    assert "The town above." in mended
    assert f"{target} is left as it is: the files hold errors" in capsys.readouterr().err


def test_a_report_that_cannot_be_written_is_told_and_watching_goes_on(
    show, tmp_path, capsys: pytest.CaptureFixture[str]
) -> None:
    from planner.cli.opening import Effort
    from planner.cli.report import kept_up_to_date

    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    refresh = kept_up_to_date(tmp_path / "file" / "r.html", Effort(None, 0, 0))
    watch(show.path, iter([(HILL,)]), refresh)
    assert capsys.readouterr().err.count("cannot be written") == 2  # at first and after the save
