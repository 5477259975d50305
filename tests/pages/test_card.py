"""The set-up card: two whole cards kept as files, and what must hold of any card.

The files in cards/ are read by a person before they are renewed, with ``RENEW=1 pytest``.
"""

from __future__ import annotations

import json
import os
import re
from dataclasses import replace
from pathlib import Path
from textwrap import dedent
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner

from planner.cli.card import card_of, command
from planner.cli.opening import open_show
from planner.kinds.dial import is_photographed
from planner.model.quantity import Quantity, Standing
from planner.pages.card import LEGEND, card_text
from planner.pages.card_values import MARKS, dialled, marked, rough_hours
from planner.pages.prints.set_up_card import set_up_card
from planner.pages.wording import columns

if TYPE_CHECKING:
    from collections.abc import Callable

CARDS = Path(__file__).with_name("cards")
EXAMPLE = Path(__file__).parents[2] / "example_shows" / "nine_bells_under"
STAGE = {
    "resources.yaml": """\
        stages:
          north: {title: North stage, width: 18 m, depth: 24 m, height: 7 m}
        cameras:
          cam: {title: Studio camera, top_rate: 120 fps, magazine: 400 ft}
        lenses:
          prime_35:
            focal_length: 35 mm
            widest_stop: f/2
            smallest_stop: f/22
            close_focus: 0.5 m
            pupil: 98 mm
            transmission: 1.1
        rigs:
          long_rig:
            title: Long track rig
            axes:
              track: {travel: 12 m, speed: 1.5 m/s, acceleration: 0.8 m/s2}
              tilt: {turn: 120 deg, speed: 70 deg/s, acceleration: 90 deg/s2}
        screens:
          blue: {width: 8 m, height: 6 m, colour: blue}
        crews:
          stage_crew: {craft: stage, heads: 6}
        """,
    "builds.yaml": """\
        builds:
          hill_town:
            makes: miniature
            scale: 1/24
            full_size: {width: 60 m, depth: 40 m, height: 12 m}
            drawing: sheet 1 revision a
          bird_quarter:
            makes: puppet
            scale: 1/4
            full_size: {width: 2 m, depth: 3 m, height: 4 m}
            mass: {is: 6 kg, standing: measured}
            drawing: sheet 4 revision c
        """,
    "sequences/hill.yaml": """\
        sequence: hill
        title: On the hill
        shots:
          HL010:
            says: The wading bird steps over the town at dusk.
            cut: 1-96
            camera: {lens: prime_35, height: 6 m, tilt: -3 deg, stop: f/8, filter: "85"}
            elements:
              sky: {kind: plate, sort: live, on: location}
              glide: {kind: camera_move, of: sky, origin: recorded, data: glide, zero_logged: true}
              town:
                kind: miniature
                says: Roofs, and the square between them.
                build: hill_town
                action: still
                passes: [beauty, matte, smoke]
                nearest: 40 m
                holds: {from: 40 m, to: 90 m}
                extent: {width: 50 m, depth: 40 m, height: 12 m}
                light: 250 fc
                takes: 2
                move_from: glide
                rig: long_rig
                hazards: [smoke]
              bird:
                kind: puppet
                build: bird_quarter
                sort: rod
                action: driven
                nearest: {is: 20 m, standing: measured, by: the measurer}
                camera_height: 6 m
                light: 400 fc
                rods:
                  - {name: waist, frames: 1-96, crosses: 20-31, side: front, diameter: 12 mm}
                contacts:
                  - {with: square, frames: 40-80, tolerance: 2 px, fixture: true}
                screen: blue
                screen_distance: 9 m
                takes: 6
                in_front_of: town
                lit_with: town
                hazards: [overhead_load]
              rods: {kind: roto, sort: rod_removal, removes_rods_of: bird}
              final: {kind: composite, joins: [sky, town, bird, rods]}
        """,
}


@pytest.fixture
def stage(show, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A show of one shot: a town on a track, a bird on rods before a blue screen."""
    for name, text in STAGE.items():
        show.write(name, dedent(text))
    # 6 m in 48 frames, at rest at both ends of the track: half of it speeding up, half slowing.
    rows = [f"{n},{6 * (n - 1) ** 2 * (3 * 95 - 2 * (n - 1)) / 95**3:.6f}" for n in range(1, 97)]
    show.write("moves/glide.csv", "frame,track [m]\n" + "\n".join(rows) + "\n")
    show.replace("show.yaml", "shutter: 180 deg", "shutter: 180 deg\n  exposure_index: 200")
    monkeypatch.chdir(show.path.parent)
    return Path(show.path.name)


@pytest.fixture
def card(stage: Path) -> Callable[..., str]:
    def printed(*arguments: str, code: int = 0) -> str:
        result = CliRunner().invoke(command, [str(stage), *arguments])
        assert result.exit_code == code, result.output
        return result.output

    return printed


@pytest.mark.parametrize("id_", ["HL010.town", "HL010.bird"])
def test_a_card_stays_as_a_person_last_read_it(stage: Path, id_: str) -> None:
    """Whole but for its findings, whose wording is their own rooms' affair."""
    opened, problems = open_show(stage)
    assert opened is not None
    assert problems == ()
    file = CARDS / f"{id_}.txt"
    text = card_text(replace(card_of(opened, id_), findings=()))
    if os.environ.get("RENEW"):
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")


def test_open_findings_about_it_stand_on_its_card(card) -> None:
    text = " ".join(card("HL010.bird").split())
    assert "Open findings" in text
    # Of 96 frames the rod in front crosses the figure on 20-31.
    assert "the rod waist lies in front of the figure on 12 frames" in text


def test_every_photographed_element_of_the_example_has_a_card_of_eighty_columns() -> None:
    opened, _problems = open_show(EXAMPLE)
    assert opened is not None
    sets = [id_ for id_, each in opened.estimates.by_element.items() if is_photographed(each)]
    kinds = {opened.show.elements[id_].kind for id_ in sets}
    assert {"plate", "miniature", "puppet", "painting"} <= kinds
    for id_ in sets:
        text = card_text(card_of(opened, id_))
        widest = max(text.splitlines(), key=columns)
        assert columns(widest) <= 80, f"{id_}: {widest}"
        assert "nan" not in text
        assert "inf " not in text


def test_each_pass_of_a_wedge_stands_by_itself_and_its_film_adds_up(card, show) -> None:
    grit = """\
        {kind: effect, sort: debris, stands_for: 1/4, event: 2 s, run_up: 2 s,
        wedge: [34 fps, 48 fps, 68 fps], stop: f/4, light: 400 fc, takes: 4}"""
    show.replace("sequences/hill.yaml", "      bird:\n", f"      grit:\n{grit}\n      bird:\n")
    said = " ".join(card("HL010.grit").split())
    # 96 frames and two handles of 8 are 112; 3 s roll at each rate. Takes run at 24 x sqrt 4 fps.
    # 34 fps: (112 + 102) / 16 = 13.375 ft and log2 (48 / 34) = 0.497 stops denser; 48 fps:
    # 256 / 16 = 16 ft; 68 fps: 316 / 16 = 19.75 ft and 0.502 stops thinner. Wedge 49.125 ft, and
    # 113.125 ft with four takes of 16 ft.
    assert "Wedge 34 fps= 112~ frames + 102~? of run, 6.29 s~?, 13.4 ft~?, 0.5 stops~ over" in said
    assert "48 fps= 112~ frames + 144~? of run, 5.33 s~?, 16 ft~? 68 fps=" in said
    assert "68 fps= 112~ frames + 204~? of run, 4.65 s~?, 19.8 ft~?, 0.5 stops~ under" in said
    assert "Takes 4= allowed for after 3~ of the wedge" in said
    assert "Film 16 ft~? a take, 25~? takes to a magazine, 49.1 ft~? of the wedge, 113 ft~?" in said
    assert "a take at each rate of the wedge, 34, 48, 68 fps; chosen: ____" in said
    assert "RATE 48 fps~" in said


def test_a_number_nobody_has_is_a_blank_to_write_in(card, show) -> None:
    show.replace("sequences/hill.yaml", "lens: prime_35, ", "")
    text = card("HL010.town")
    assert "Lens       focal length ____" in text
    assert "Missing    focal length ____" in text


def test_a_stop_no_lens_opens_to_is_told_as_any_stop(card, show) -> None:
    # Depths this close together on a lens this short ask for less than f/2, the lens's widest.
    show.replace(
        "sequences/hill.yaml", "holds: {from: 40 m, to: 90 m}", "holds: {from: 55 m, to: 56 m}"
    )
    text = " ".join(card("HL010.town").split())
    assert "any stop holds~ for 2.292 m~ to 2.333 m~ from lens" in text  # 55 m and 56 m over 24
    assert "hold f/" not in text


def test_a_stop_to_match_that_no_lens_has_is_told_as_such(card, show) -> None:
    # f/8 in the picture is f/8 x 24 = f/192 at 1:24, past f/64; f/2 is f/48, which a lens may have.
    show.replace("sequences/hill.yaml", "        holds: {from: 40 m, to: 90 m}\n", "")
    text = " ".join(card("HL010.town").split())
    assert "to match takes f/190~, deeper than any lens" in text
    assert "match by where it is focused" in text
    show.replace("sequences/hill.yaml", "stop: f/8,", "stop: f/2,")
    text = " ".join(card("HL010.town").split())
    assert "match f/48~" in text
    assert "Matching matters" in text


def test_a_shadow_past_the_lens_is_dialled_as_what_casts_it(card, show) -> None:
    # f/8 x 4 is f/32 and the lens ends at f/22; the bird, 5 m to 6 m off at 1:4, is held wide open:
    # 1.225 x (6 - 5) / (0.025 x (60 - 35 x 11 / 1000) m) = f/0.8, and the lens opens to f/2.
    show.replace("sequences/hill.yaml", "camera_height: 6 m\n", "holds: {from: 20 m, to: 24 m}\n")
    show.replace(
        "sequences/hill.yaml",
        "      rods: {kind",
        "      shade: {kind: shadow, sort: photographed, shadow_of: bird, falls_on: bird_quarter}\n"
        "      rods: {kind",
    )
    text = " ".join(card("HL010.shade").split())
    assert "Stop SET f/2~" in text
    assert "match f/32~" in text
    assert "set as what casts it" in text


def test_a_roll_is_told_in_words_the_place_of_the_piece_before_its_shot(card, show) -> None:
    assert "rolled" not in card("HL010.bird")
    show.replace("sequences/hill.yaml", "tilt: -3 deg,", "tilt: -3 deg, roll: 12 deg,")
    said = " ".join(card("HL010.bird").split())
    assert "tilt down 3 deg=, rolled 12 deg= clockwise seen from behind it, nearest" in said
    show.replace(
        "sequences/hill.yaml",
        "camera_height: 6 m\n",
        "camera_height: 6 m\n        camera_place: {tilt: 2 deg, roll: -5 deg}\n",
    )
    said = " ".join(card("HL010.bird").split())
    assert "tilt up 2 deg=, rolled 5 deg= anticlockwise seen from behind it, nearest" in said


def test_a_push_on_a_board_is_its_move(card, show) -> None:
    """Between two framings the camera goes f x (2000 - 1500) / frame width: 35 x 500 / 24.89."""
    board = (
        "      board:\n"
        "        {kind: painting, width: 2 m, widest: 2.0 m, tightest: 1.5 m, detail: plain}\n"
        "      rods: {kind"
    )
    show.replace("sequences/hill.yaml", "      rods: {kind", board)
    text = " ".join(card("HL010.board").split())
    assert "Move toward the board, between the framings: lens" in text
    assert "travels 703 mm~ in 112~ frames" in text  # 96 of the cut, 8 at each end
    assert "stands still" not in text


def test_a_board_whose_move_goes_another_way_than_its_framings_says_so(card, show) -> None:
    """At 50 m the frame is 24.89 x (50,000 - 35) / 35 = 35,532 mm wide, 1:23.69 of 1.5 m on the
    board; 4 m of approach are 169 mm there, and the framings want 703 mm."""
    board = (
        "      board:\n"
        "        {kind: painting, width: 2 m, widest: 2.0 m, tightest: 1.5 m, detail: plain,\n"
        "         nearest: 50 m, approach: 4 m, travel: 1 m}\n"
        "      rods: {kind"
    )
    show.replace("sequences/hill.yaml", "      rods: {kind", board)
    text = " ".join(card("HL010.board").split())
    assert text.count(" Move ") == 1
    assert "across the board, on the stage alone, no program named" in text
    assert "! the move takes the lens 168.8 mm~ toward the board" in text
    assert "and the framings want 703 mm~: see the findings" in text
    assert "the lens goes 0.703 m toward the board, and its approach at 1:23.7 takes it" in text


def test_a_fact_somebody_is_to_find_is_said_with_who(card, show) -> None:
    """Light is asked for by the kind; the height of the lens stands on the card alone."""
    show.replace("sequences/hill.yaml", "light: 250 fc", "light: {is: ?, by: the gaffer}")
    show.replace("sequences/hill.yaml", " height: 6 m,", " height: {is: ?, by: the surveyor},")
    text = " ".join(card("HL010.town").split())
    assert "light ____, the gaffer is to find it" in text
    assert "height ____, the surveyor is to find it" in text


def test_a_shadow_says_where_its_lamp_stands(card, show) -> None:
    """2.6 m up and 4 m off it is atan(2.6 / 4) = 33.02 deg up; a bearing is told if stated."""
    lamp = "height: {is: 2.6 m, standing: measured}, distance: 4 m, size: 0.25 m"
    show.replace(
        "sequences/hill.yaml",
        "      rods: {kind",
        "      shade: {kind: shadow, sort: photographed, shadow_of: bird, falls_on: bird_quarter,\n"
        f"        lamp: {{{lamp}}}, caster_height: 1 m}}\n"
        "      rods: {kind",
    )
    said = " ".join(card("HL010.shade").split())
    assert (
        "Lamp ON THE STAGE 2.6 m! up, 4 m= from the caster on the level, 250 mm= across;"
        " 33 deg~ up from the caster's foot, bearing ____"
    ) in said
    show.replace("sequences/hill.yaml", "size: 0.25 m}", "size: 0.25 m, from: 300 deg}")
    said = " ".join(card("HL010.shade").split())
    assert "bearing 300 deg~ clockwise from straight behind the caster" in said


def test_what_a_shadow_brings_before_the_lens_is_told_with_its_build(card, show) -> None:
    fall = """\
        {kind: shadow, sort: photographed, shadow_of: bird, falls_on: bird_quarter,
        receiver_measured: true, light: 400 fc, takes: 2}"""
    show.replace("sequences/hill.yaml", "      rods: {", f"      fall:\n{fall}\n      rods: {{")
    said = card("HL010.fall")
    assert "nothing of its own, at 1:4=; to stand here: bird quarter" in said
    assert "cast by HL010.bird; falls on bird quarter" in said


def test_a_piece_named_after_its_kind_is_named_once_at_the_head_of_its_sheet(
    stage: Path, show
) -> None:
    fall = "{kind: shadow, sort: photographed, shadow_of: bird, falls_on: bird_quarter}"
    show.replace(
        "sequences/hill.yaml",
        "      rods: {",
        f"      shadow: {fall}\n      fall: {fall}\n      rods: {{",
    )
    opened, _problems = open_show(stage)
    assert opened is not None
    heads = [set_up_card(card_of(opened, f"HL010.{each}"), "").about for each in ("shadow", "fall")]
    assert heads == ["HL010.shadow", "HL010.fall, shadow"]


def test_a_number_as_wide_as_its_column_keeps_apart_from_the_next(card, show) -> None:
    board = (
        "      board:\n"
        "        {kind: painting, width: 2 m, widest: 2.0 m, tightest: 1.5 m, detail: plain,\n"
        "         nearest: 50 m, travel: 1 m}\n"
        "      rods: {kind"
    )
    show.replace("sequences/hill.yaml", "      rods: {kind", board)
    # Fourteen columns are 0.0275 mm/s2~? to the last.
    assert "0.0275 mm/s2~? 0 mm~?" in card("HL010.board")


def test_a_gag_and_its_smoke_stand_on_the_card(card, show) -> None:
    happens = (
        "action: gravity\n"
        "        gag: {cue: 30, fall: 4.9033 m}\n"
        "        haze: {level: 0.6 stops at 10 m, settle: 4 min, fans: off}"
    )
    show.replace("sequences/hill.yaml", "action: still", happens)
    text = " ".join(card("HL010.town").split())
    # 4.9033 m falls for a second: 24 frames of the picture at the rate of any scale, and at 1/24
    # 1 / sqrt 24 = 0.204 s on the stage.
    assert "Gag cued on frame 30=; fall 0.204 s~ on the stage, 24" in text
    assert "seen to work: ____" in text
    assert "Smoke level 0.6 stops at 10 m; clear ____; settle 4 min=; fans off" in text


def test_a_card_can_be_had_at_another_scale(card) -> None:
    # The nearest thing is 40 m off: 40 m / 24 and 40 m / 12 on the stage.
    assert "nearest 1.667 m~ off" in card("HL010.town")
    text = " ".join(card("HL010.town", "--scale", "1/12").split())
    assert "hill town, at 1:12? (asked for this card)" in text
    assert "nearest 3.333 m~? off" in text


def test_what_has_no_scale_says_so(card) -> None:
    assert "has no scale of its own" in card("HL010.sky", "--scale", "1/12", code=2)
    assert "not a scale" in card("HL010.town", "--scale", "twelfth", code=2)


def test_what_stands_before_no_camera_says_what_it_has_instead(card) -> None:
    text = card("HL010.final", code=2)
    assert "stands before no camera, so it has no set-up card" in text.replace("\n", " ")
    assert "compositing" in text


def test_a_name_that_is_not_there_is_answered_with_the_nearest(card) -> None:
    assert "did you mean HL010.town?" in card("HL010.tawn", code=2)


def test_dates_stand_beside_the_hours_when_asked_for(card) -> None:
    """The day it is planned on is the order's affair; here it is only that the day is told."""
    day = re.compile(r"photograph 2\.\d h~\? \(.*\),\s+camera x 2: (Mon|Tue|Wed|Thu|Fri) \d\d")
    assert not day.search(card("HL010.town"))
    assert day.search(card("HL010.town", "--dates", "--tries", "0"))


def test_machines_get_every_number_with_its_standing_and_reason(card) -> None:
    told = json.loads(card("HL010.bird", "--json"))
    numbers = {each["name"]: each for each in told["numbers"]}
    focus = numbers["focus on the stage, from the film plane"]
    # A lens of 35 mm focused 5 m away: film at 5000 + 35 x 5000 / (5000 - 35) mm.
    assert focus["value"] == pytest.approx(5000 + 35 * 5000 / 4965)
    assert focus["standing"] == "reckoned"
    assert focus["inputs"]
    assert told["checks"]
    assert told["work"][0]["needs"]["stage"] == ["north"]
    assert told["rows"][0] == {
        "label": "For",
        "text": "The wading bird steps over the town at dusk.",
    }


def test_any_number_of_the_card_opens_to_its_arithmetic(card) -> None:
    text = card("HL010.town", "--why", "nearest thing")
    assert "nearest thing on the stage, from the lens = 1.667 m, reckoned" in text
    assert 'nearest = 40 m, given, written "40 m"' in text
    assert "it has " in card("HL010.town", "--why", "weather", code=2)


@pytest.mark.parametrize("standing", [each for each in Standing if each is not Standing.MISSING])
def test_every_standing_has_a_mark_of_its_own_told_at_the_foot(standing: Standing) -> None:
    assert f"{MARKS[standing]} {standing}" in LEGEND
    assert marked(Quantity("height", 1200, "mm", standing)) == f"1.2 m{MARKS[standing]}"


def test_a_number_reckoned_on_an_assumption_says_both() -> None:
    assumed = Quantity("takes", 3, standing=Standing.ASSUMED)
    assert marked(Quantity("film", 30, "ft", inputs=(assumed,))) == "30 ft~?"
    assert marked(Quantity("film", 30, "ft")) == "30 ft~"


def test_a_reconstructed_number_carries_its_spread() -> None:
    focal = Quantity("focal length", 34.2, "mm", Standing.RECONSTRUCTED, spread=0.6)
    assert marked(focal) == "34.2 mm ± 0.6 mm"


def test_nothing_is_marked_as_a_blank() -> None:
    assert marked(None) == "____"
    assert marked(Quantity("tilt", 0, "deg", Standing.MISSING)) == "____"


def test_numbers_are_told_no_finer_than_a_dial_is_read() -> None:
    assert dialled(2.9412, "f") == "f/2.9"
    assert dialled(1 / 48, "s") == "1/48 s"
    assert dialled(0.0941, "h") == "5.65 min"
    assert dialled(3895.24, "mm") == "3.895 m"
    assert dialled(283.64, "mm/s") == "284 mm/s"
    assert dialled(136, "1") == "136"
    assert dialled(4.55, "f", exact=True) == "f/4.55"


def test_stations_and_cues_are_told_in_the_order_of_their_frames(card, show) -> None:
    stated = (
        "turned: {by: set, angle: 90 deg, support: far_side, hangs: [tail]}\n"
        "        stations: [{who: ann, side: left, at: [-4 m, 0 m, 0 m], frames: 1-40}]\n"
        "        cues:\n"
        "          - {frames: 30-40, who: ben, what: turns the head}\n"
        "          - {frames: 1-20, who: ann, what: lifts, at: the pit}\n"
    )
    show.replace("sequences/hill.yaml", "lit_with: town\n", f"lit_with: town\n        {stated}")
    lines = [" ".join(line.split()) for line in card("HL010.bird").splitlines()]
    assert "Rolled set by 90 deg=, held from far side, tail hangs free" in lines
    assert "Stations ann from left at (-4 m=, 0 mm=, 0 mm=), frames 1-40=" in lines
    first = lines.index("Cues 1-20= ann: lifts, at the pit")
    assert lines[first + 1] == "30-40= ben: turns the head"


def test_hours_of_work_are_told_as_nearly_as_anybody_plans() -> None:
    # Two figures below ten; from 9.95, which rounds to 10, whole hours and never an exponent.
    told = {0.25: "0.25", 3.14: "3.1", 9.94: "9.9", 9.96: "10", 120: "120", 1250.4: "1,250"}
    assert {hours: rough_hours(hours) for hours in told} == told
