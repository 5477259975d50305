"""``platewright sweep``: scenarios side by side, in processes and on a cluster."""

from __future__ import annotations

import json
from datetime import date, timedelta
from textwrap import dedent
from typing import TYPE_CHECKING

import pytest

from planner.cli import sweeping
from planner.cli.opening import Effort, open_sound, plan_opened
from tests.cli.test_commands import QUICK, run

if TYPE_CHECKING:
    from pathlib import Path

    from tests.conftest import ShowFolder

SCENARIOS = """\
    scenarios:
      larger town:
        says: A larger model.
        set: {hill_town.scale: 1/16}
      earlier:
        set: {reel.date: 2027-03-02}
      by weight:
        set: {hill_town.scale: 40 kg}
      elsewhere:
        set: {hil_town.scale: 1/16}
    """
ONE = ("--jobs", "1", *QUICK)


@pytest.fixture
def what(tmp_path: Path) -> Path:
    path = tmp_path / "what.yaml"
    path.write_text(dedent(SCENARIOS), encoding="utf-8")
    return path


def likely_cost(show: ShowFolder) -> str:
    """What `platewright plan` comes to."""
    return str(plan_opened(open_sound(show.path), Effort(None, 0, 0)).bid.total.likely)


def test_scenarios_stand_beside_the_show_as_it_stands(show: ShowFolder, what: Path) -> None:
    result = run("sweep", show.path, what, *ONE)
    assert result.exit_code == 0, result.output
    lines = result.output.splitlines()
    names = ("as it stands", "larger town", "earlier", "by weight", "elsewhere", "planned again")
    first = next(n for n, line in enumerate(lines) if line.startswith("as it stands"))
    shown = lines[first : first + 6]
    assert [line[:12].rstrip() for line in shown] == [name[:12] for name in names]
    assert max(map(len, lines)) <= 80
    assert "  late now: HL010" in lines


def test_the_difference_is_that_of_two_plans(show: ShowFolder, what: Path) -> None:
    told = json.loads(run("sweep", show.path, what, "--json", *ONE).output)["scenarios"]
    assert told[0]["cost"]["likely"] == likely_cost(show)
    show.replace("builds.yaml", "scale: 1/24", "scale: 1/16")
    assert told[1]["cost"]["likely"] == likely_cost(show)
    assert told[1]["finish"] >= told[0]["finish"]  # a larger model takes no less to build
    assert (told[2]["late"], told[2]["difference"]["late"]) == (["HL010"], 1)


def two_shots(show: ShowFolder) -> None:
    """HL010 and HL020, both before the model of the town."""
    text = (show.path / "sequences/hill.yaml").read_text(encoding="utf-8")
    second = text[text.index("  HL010:") :].replace("HL010", "HL020")
    show.write("sequences/hill.yaml", text + second)


@pytest.mark.parametrize("is_issued", [False, True])
def test_a_scenario_that_changes_nothing_differs_by_nothing(
    show: ShowFolder, tmp_path: Path, *, is_issued: bool
) -> None:
    two_shots(show)
    if is_issued:
        # Issued while the model came late; by now everything could be sooner.
        show.replace("builds.yaml", "scale: 1/24", "scale: 1/24\n    not_before: 2027-05-03")
        run("order", show.path, "--issue", *QUICK)
        show.replace("builds.yaml", "\n    not_before: 2027-05-03", "")
    path = tmp_path / "what.yaml"
    same = "{hill_town.scale: 1/24, reel.date: 2027-12-01, north.height: 7 m}"
    path.write_text(f"scenarios: {{the same: {{set: {same}}}}}", encoding="utf-8")
    found = run("sweep", show.path, path, "--json", "--jobs", "1", "--tries", "60")
    as_it_stands, the_same = json.loads(found.stdout)["scenarios"]
    assert ("By order 1" in found.stderr) is is_issued
    told = ("cost", "finish", "late", "stage_days")
    assert [the_same[each] for each in told] == [as_it_stands[each] for each in told]
    # The show as it stands is the order in force, at the bid's own figure.
    bid = json.loads(run("bid", show.path, "--json", "--tries", "60").stdout)
    assert as_it_stands["cost"] == bid["total"]


def test_scenarios_go_on_from_the_order_in_force_not_from_scratch(
    show: ShowFolder, what: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run("order", show.path, "--issue", *QUICK)

    def from_scratch(*_told: object) -> None:
        raise AssertionError("ordered from scratch")

    monkeypatch.setattr("planner.schedule.solve", from_scratch)
    monkeypatch.setattr("planner.order.arrange", from_scratch)
    told = json.loads(run("sweep", show.path, what, "--json", *ONE).stdout)["scenarios"]
    assert [each["answered"] for each in told[:3]] == [True, True, True]


def test_what_was_done_on_another_day_than_called_stays_done_in_every_scenario(
    show: ShowFolder, what: Path
) -> None:
    run("order", show.path, "--issue", *QUICK)
    calls = json.loads(run("order", show.path, "--json").stdout)["calls"]
    called = min(each["starts"] for each in calls if each["element"] == "HL010.town")[:10]
    sooner = str(date.fromisoformat(called) - timedelta(days=1))
    posted = ("--at", f"{sooner} 18:00", "--on", called)
    for done, about in (("built", "hill_town"), ("in-the-can", "HL010.town")):
        assert run("post", show.path, done, about, *posted).exit_code == 0
    again = run("order", show.path, "--from", called, "--issue", *QUICK)
    assert again.exit_code == 0, again.output
    told = json.loads(run("sweep", show.path, what, "--json", *ONE).stdout)["scenarios"]
    as_it_stands, larger, earlier = told[:3]
    assert as_it_stands["cost"] == json.loads(run("bid", show.path, "--json").stdout)["total"]
    # A larger model is dearer by its building, though it is built: its hours are what it costs.
    assert float(larger["cost"]["likely"]) > float(as_it_stands["cost"]["likely"])
    assert earlier["late"] == ["HL010"]


def test_what_is_posted_as_omitted_is_ordered_in_no_scenario(
    show: ShowFolder, tmp_path: Path
) -> None:
    two_shots(show)
    path = tmp_path / "what.yaml"
    path.write_text("scenarios: {earlier: {set: {reel.date: 2027-03-02}}}", encoding="utf-8")
    before = json.loads(run("sweep", show.path, path, "--json", *ONE).stdout)["scenarios"]
    run("post", show.path, "omitted", "HL020", "--by", "Ann", "--at", "2026-11-02 10:00")
    after = json.loads(run("sweep", show.path, path, "--json", *ONE).stdout)["scenarios"]
    # The model alone takes longer than to 2 March: whatever is ordered is late.
    # The last row is planned again with nothing else changed.
    assert [each["late"] for each in before] == [[], ["HL010", "HL020"], []]
    assert [each["late"] for each in after] == [[], ["HL010"], []]


def test_a_scenario_without_an_answer_says_why_and_the_others_answer(
    show: ShowFolder, what: Path
) -> None:
    result = run("sweep", show.path, what, *ONE)
    flat = " ".join(result.output.split())
    assert "40 kg is not a scale" in flat
    assert "nothing in the show is called hil_town; did you mean hill_town?" in flat
    told = json.loads(run("sweep", show.path, what, "--json", *ONE).output)["scenarios"]
    assert [each["answered"] for each in told] == [True, True, True, False, False, True]
    assert told[5]["name"] == "planned again"
    assert told[3]["problems"][0]["place"]["line"] == 8


def test_a_fault_while_a_scenario_is_worked_out_keeps_no_other_from_an_answer(
    show: ShowFolder, what: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def failing(task: sweeping.Task) -> sweeping.Outcome:
        if task.scenario.name == "larger town":
            raise OSError("no space left\non the disk")
        return work_out(task)

    work_out = sweeping.work_out
    monkeypatch.setattr(sweeping, "work_out", failing)
    result = run("sweep", show.path, what, "--json", *ONE)
    assert result.exit_code == 0, result.output
    told = {each["name"]: each for each in json.loads(result.output)["scenarios"]}
    (problem,) = told["larger town"]["problems"]
    assert problem["message"] == "its worker failed: OSError: no space left"
    assert told["earlier"]["cost"]["likely"] == told["as it stands"]["cost"]["likely"]


def test_another_like_a_named_thing_serves_those_who_name_it(
    show: ShowFolder, tmp_path: Path
) -> None:
    # Two shots, both made on the north stage by name: with two of it they are shot side by side.
    text = (show.path / "sequences/hill.yaml").read_text(encoding="utf-8")
    text = text.replace("light: 250 fc", "light: 250 fc\n        stage: north")
    second = text[text.index("  HL010:") :].replace("HL010", "HL020")
    show.write("sequences/hill.yaml", text + second)
    path = tmp_path / "what.yaml"
    path.write_text("scenarios: {two: {set: {north.count: 2, cam.count: 2}}}", encoding="utf-8")
    told = json.loads(run("sweep", show.path, path, "--json", *ONE).output)["scenarios"]
    assert told[1]["answered"], told[1]
    assert told[1]["finish"] <= told[0]["finish"]


def test_processes_answer_as_one_does(show: ShowFolder, what: Path) -> None:
    alone = run("sweep", show.path, what, "--json", *ONE)
    beside = run("sweep", show.path, what, "--json", "--jobs", "2", *QUICK)
    assert beside.exit_code == 0, beside.output
    assert beside.output == alone.output


@pytest.mark.filterwarnings("ignore::ResourceWarning")  # the cluster's own sockets, closed late
@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
@pytest.mark.filterwarnings("ignore::DeprecationWarning:distributed")
def test_a_cluster_answers_as_one_process_does(show: ShowFolder, what: Path) -> None:
    from distributed import LocalCluster

    alone = run("sweep", show.path, what, "--json", *ONE)
    with LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=":0"
    ) as cluster:
        found = run(
            "sweep", show.path, what, "--json", "--cluster", cluster.scheduler_address, *QUICK
        )
    assert found.exit_code == 0, found.output
    assert found.output == alone.output


@pytest.mark.filterwarnings("ignore::ResourceWarning")
@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
def test_a_cluster_that_is_not_there_is_told(
    show: ShowFolder, what: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("planner.cli.sweeping.PATIENCE", "300ms")
    result = run("sweep", show.path, what, "--cluster", "tcp://127.0.0.1:9", *QUICK)
    assert result.exit_code == 1
    assert "no cluster answers at tcp://127.0.0.1:9" in result.output


def test_a_file_that_lists_no_scenarios_is_told(show: ShowFolder, tmp_path: Path) -> None:
    path = tmp_path / "what.yaml"
    path.write_text("other: 1\n", encoding="utf-8")
    result = run("sweep", show.path, path, *ONE)
    assert result.exit_code == 1
    assert "what.yaml:1:1" in result.output
