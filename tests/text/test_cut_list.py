"""Cut lists: what editorial exports, read into frames; what is none is told in a sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING

import opentimelineio as otio
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.model.facts import FrameRange
from planner.text.cut_list import MAX_BYTES, read_cut

if TYPE_CHECKING:
    from planner.model.cut import Cut

# An invented list: three shots, the second dissolved in over eight frames, the third at half speed.
EDIT_LIST = """\
TITLE: SMALL REEL
FCM: NON-DROP FRAME

001  HL010    V     C        01:00:04:05 01:00:09:05 01:00:00:00 01:00:05:00
* FROM CLIP NAME: HL010
002  HL010    V     C        01:00:09:05 01:00:09:05 01:00:05:00 01:00:05:00
002  HL020    V     D 008    01:00:04:05 01:00:07:13 01:00:05:00 01:00:08:08
* FROM CLIP NAME: HL010
* TO CLIP NAME: HL020
003  HL030    V     C        01:00:04:05 01:00:06:05 01:00:08:08 01:00:12:08
M2   HL030    012.0                01:00:04:05
* FROM CLIP NAME: HL030
* COMMENT: FLOP
"""


def read(data: str | bytes, suffix: str = ".edl", fps: float = 24.0) -> Cut:
    raw = data.encode() if isinstance(data, str) else data
    cut, problems = read_cut(raw, "reel", suffix, fps)
    assert problems == ()
    assert cut is not None
    return cut


def fault(data: str | bytes, suffix: str = ".edl", fps: float = 24.0) -> str:
    raw = data.encode() if isinstance(data, str) else data
    cut, problems = read_cut(raw, "reel", suffix, fps)
    assert cut is None
    (problem,) = problems
    assert "\n" not in problem.message
    return problem.message


def timeline(*clips: otio.schema.Clip | otio.schema.Transition, tracks: int = 1) -> bytes:
    made = otio.schema.Timeline("reel")
    for _ in range(tracks):
        track = otio.schema.Track(kind=otio.schema.TrackKind.Video)
        track.extend(each.clone() for each in clips)
        made.tracks.append(track)
    return bytes(otio.adapters.write_to_string(made, "otio_json"), "utf-8")


def clip(name: str, first: float, count: float, rate: float = 24.0) -> otio.schema.Clip:
    span = otio.opentime.TimeRange(
        otio.opentime.RationalTime(first, rate), otio.opentime.RationalTime(count, rate)
    )
    return otio.schema.Clip(name, source_range=span)


def test_an_edit_list_counts_source_frames_without_the_hour_of_the_reel() -> None:
    first, second, third = read(EDIT_LIST).clips
    # 4 s 5 frames at 24 fps is frame 101; five seconds are 120 frames, and the dissolve shows eight
    # frames more of the shot that goes: 101 to 228.
    assert first.names[0] == "HL010"
    assert first.source == FrameRange(101, 228)
    assert first.shown == 128
    # From 4 s 5 to 7 s 13 are 80 frames: the dissolve is of its first eight.
    assert second.source == FrameRange(101, 180)
    # Four seconds on the screen at 12 fps take two seconds of source: 48 frames.
    assert (third.source, third.shown, third.speed) == (FrameRange(101, 148), 96, 0.5)
    assert third.flop
    assert not first.flop


def test_a_timeline_reads_like_an_edit_list() -> None:
    dissolve = otio.schema.Transition(
        transition_type=otio.schema.TransitionTypes.SMPTE_Dissolve,
        in_offset=otio.opentime.RationalTime(3, 24),
        out_offset=otio.opentime.RationalTime(5, 24),
    )
    cut = read(timeline(clip("HL010", 86501, 96), dissolve, clip("HL020", 101, 48)), ".otio")
    # An hour at 24 fps is 86,400 frames. The dissolve runs three frames before the cut and five
    # after it: five more of the first are seen, three more of the second.
    assert [each.source for each in cut.clips] == [FrameRange(101, 201), FrameRange(98, 148)]


def test_a_rate_a_thousandth_slower_counts_the_same_frames() -> None:
    cut = read(timeline(clip("HL010", 101, 96, 24000 / 1001)), ".otio")
    assert cut.clips[0].source == FrameRange(101, 196)


def test_what_the_list_says_beside_is_kept() -> None:
    noted = clip("crowd", 101, 96)
    noted.metadata["editorial"] = {"shot": "HL010", "notes": ["flopped by the editor"]}
    (found,) = read(timeline(noted), ".otio").clips
    assert found.names[0] == "crowd"
    assert set(found.names[1:]) == {"HL010", "flopped by the editor"}
    assert found.flop


@pytest.mark.parametrize(
    ("said", "flop"),
    [
        ("FLOP", True),
        ("flop_h 1", True),
        ("the shot flops", True),
        ("scan from the floppy disk", False),
        ("FLOPHOUSE_3", False),
        ("unflopped", False),
        ("NOT FLOPPED", False),
        ("not to be flopped", False),
        ("no longer flopped", False),
        ("no flop", False),
        ("un-flopped", False),
        ("flop removed", False),
        ("FLOP: NO", False),
        ("take 2 is no good, flopped", True),
        ("not flopped in the rough cut; flop now", True),
    ],
)
def test_a_picture_is_turned_round_by_a_word_and_not_by_its_letters(
    said: str, *, flop: bool
) -> None:
    noted = clip("crowd", 101, 96)
    noted.metadata["notes"] = said
    assert read(timeline(noted), ".otio").clips[0].flop is flop


@pytest.mark.parametrize(
    ("data", "suffix", "says"),
    [
        ("", ".edl", "holds no clip"),
        ("", ".otio", "cannot be read as a cut"),
        ("{}", ".otio", "no timeline"),
        ('{"OTIO_SCHEMA":"Timeline.1"}', ".otio", "cannot be read as a cut"),
        ('{"OTIO_SCHEMA":"Timeline.99"}', ".otio", "unsupported schema version"),
        ("[" * 5000, ".otio", "cannot be read as a cut"),
        (b"\xff\xd8\xff\xe0 a picture", ".edl", "byte 0xff at 0 is not text"),
        (b"RIFF\x00\x00", ".edl", "bytes that are not text"),
        (b" " * (MAX_BYTES + 1), ".edl", "longer than 32,000,000 bytes"),
        (EDIT_LIST.replace("01:00:09:05 01:00:00:00", "01:00:09:55 01:00:00:00"), ".edl", "rate"),
        (
            EDIT_LIST.replace("01:00:04:05 01:00:09:05", "nine o'clock sharp"),
            ".edl",
            "line 4 is no",
        ),
        ("001 HL010 V C 1 2 3 4", ".edl", "line 1 is no entry"),
    ],
)
def test_what_is_no_cut_is_told_in_one_sentence(data: str | bytes, suffix: str, says: str) -> None:
    assert says in fault(data, suffix)


def test_a_cut_at_another_rate_or_on_two_tracks_is_refused() -> None:
    assert "counts at 25 fps and the show is shown at 24" in fault(
        timeline(clip("HL010", 101, 96, 25)), ".otio"
    )
    assert "2 picture tracks" in fault(timeline(clip("HL010", 101, 96), tracks=2), ".otio")
    assert "no rate" in fault(timeline(clip("HL010", 101, 96, 0)), ".otio")
    assert "has no source range" in fault(timeline(otio.schema.Clip("HL010")), ".otio")
    assert "lasts no frame" in fault(timeline(clip("HL010", 101, 0)), ".otio")
    assert "no frame of a reel" in fault(timeline(clip("HL010", 1e15, 9)), ".otio")


def test_a_timeline_that_stops_its_reader_is_a_sentence() -> None:
    # The library reads clips of the older form with fields of the newer, and crashes.
    older = timeline(clip("HL010", 101, 96)).replace(b'"Clip.2"', b'"Clip.1"')
    assert "damaged inside" in fault(older, ".otio")


@settings(max_examples=30)
@given(st.text(max_size=300), st.sampled_from([".edl", ".otio"]))
def test_any_text_is_a_cut_or_a_sentence(text: str, suffix: str) -> None:
    cut, problems = read_cut(text.encode("utf-8", "surrogatepass"), "reel", suffix, 24.0)
    assert (cut is None) == bool(problems)


@given(
    st.lists(
        st.sampled_from([*EDIT_LIST.splitlines(), "M2   X  0.0  00:00:00:00", "* ", "001", "-5"]),
        max_size=12,
    ),
    st.integers(0, 400),
)
def test_any_shuffling_of_an_edit_list_is_a_cut_or_a_sentence(lines: list[str], at: int) -> None:
    text = "\n".join(lines)
    text = text[:at] + text[at + 1 :]
    cut, problems = read_cut(text.encode(), "reel", ".edl", 24.0)
    assert (cut is None) == bool(problems)
