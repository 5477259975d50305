"""Film by the foot, frames by the count, and time code.

Takes frames, feet and rates, gives lengths, running times and codes. A foot is the nominal one of
64 perforations (40 frames of 16 mm); film measured with a tape is about a quarter per cent shorter.
Knows nothing of cameras or stocks.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from planner.craft import demands

PERFORATIONS_PER_FOOT = 64
MM_PER_PERFORATION = 4.75
DROP_FPS = 30000 / 1001
DROP_FRAMES_PER_MINUTE = 30 * 60 - 2
DROP_FRAMES_PER_TEN_MINUTES = 10 * DROP_FRAMES_PER_MINUTE + 2
DROP_FRAMES_PER_DAY = 24 * 6 * DROP_FRAMES_PER_TEN_MINUTES
_CODE = re.compile(r"(\d\d):(\d\d):(\d\d)([:;])(\d\d)")


@dataclass(frozen=True, slots=True, order=True)
class FeetFrames:
    """A length or place on film.

    Attributes:
        feet: whole feet.
        frames: frames over, fewer than a foot holds.
    """

    feet: int
    frames: int

    def __str__(self) -> str:
        return f"{self.feet}+{self.frames:02d}"


def frames_per_foot(perforations: float) -> float:
    """Frames in a nominal foot of 35 or 65 mm film, so many perforations a frame.

    Args:
        perforations: perforations a frame, a count.

    Raises:
        ValueError: the perforations are not above zero.

    Source:
        Definition: a nominal foot is 64 perforations of 35 mm film at the standard pitch.
    """
    demands.above_zero(perforations=perforations)
    return PERFORATIONS_PER_FOOT / perforations


def feet(frames: float, frames_per_foot: float) -> float:
    """Length of so many frames, feet.

    Args:
        frames: a count of frames.
        frames_per_foot: frames to the foot of the format.

    Raises:
        ValueError: frames are negative or frames per foot not above zero.

    Source:
        Definition, as of `frames_per_foot`.
    """
    demands.not_negative(frames=frames)
    demands.above_zero(frames_per_foot=frames_per_foot)
    return frames / frames_per_foot


def feet_per_minute(frames_per_foot: float, fps: float = 24.0) -> float:
    """Film used a minute, feet.

    Args:
        frames_per_foot: frames to the foot of the format.
        fps: rate, frames a second.

    Raises:
        ValueError: a number is not above zero.

    Source:
        Definition, as of `frames_per_foot`.
    """
    demands.above_zero(frames_per_foot=frames_per_foot, fps=fps)
    return 60 * fps / frames_per_foot


def running_s(feet: float, frames_per_foot: float, fps: float = 24.0) -> float:
    """Running time of a length of film, seconds.

    Args:
        feet: length of film, feet.
        frames_per_foot: frames to the foot of the format.
        fps: rate, frames a second.

    Raises:
        ValueError: the length is negative, or another number not above zero.

    Source:
        Frames over a rate: a definition.
    """
    demands.not_negative(feet=feet)
    demands.above_zero(frames_per_foot=frames_per_foot, fps=fps)
    return feet * frames_per_foot / fps


def loads(frames: int, frames_per_foot: float, load_ft: float, waste_ft: float = 15.0) -> int:
    """Loads of film that hold so many frames.

    Args:
        frames: frames to expose.
        frames_per_foot: frames to the foot of the format.
        load_ft: length of a load, feet.
        waste_ft: threading and run-out of each load, feet; 10 to 20 is common practice, no source.

    Raises:
        ValueError: frames are negative, or the waste leaves nothing of a load.

    Source:
        Counting, rounded up.
    """
    demands.not_negative(waste_ft=waste_ft)
    if load_ft <= waste_ft:
        raise ValueError(f"{waste_ft:g} ft of waste leaves nothing of a {load_ft:g} ft load")
    return math.ceil(feet(frames, frames_per_foot) / (load_ft - waste_ft))


def feet_and_frames(frames: int, frames_per_foot: int = 16) -> FeetFrames:
    """Whole feet and frames over of a count; only for formats with whole frames to the foot.

    Args:
        frames: a count of frames.
        frames_per_foot: whole frames to the foot of the format.

    Raises:
        ValueError: frames are negative or frames per foot not above zero.

    Source:
        Definition, as of `frames_per_foot`.
    """
    demands.not_negative(frames=frames)
    demands.above_zero(frames_per_foot=frames_per_foot)
    return FeetFrames(*divmod(frames, frames_per_foot))


def frame_count(length: FeetFrames, frames_per_foot: int = 16) -> int:
    """Frames in a length; undoes `feet_and_frames`.

    Args:
        length: whole feet and the frames over.
        frames_per_foot: whole frames to the foot of the format.

    Raises:
        ValueError: the frames over are not fewer than a foot holds.

    Source:
        Definition, as of `frames_per_foot`.
    """
    if length.feet < 0 or not 0 <= length.frames < frames_per_foot:
        raise ValueError(f"{length} is no length where a foot holds {frames_per_foot} frames")
    return length.feet * frames_per_foot + length.frames


def frames_inclusive(first: int, last: int) -> int:
    """Frames from one to another, both counted.

    Args:
        first: number of the first of the frames.
        last: number of the last of the frames.

    Raises:
        ValueError: the last comes before the first.

    Source:
        Counting, frames.
    """
    if last < first:
        raise ValueError(f"frame {last} comes before frame {first}")
    return last - first + 1


def element_frames(cut_frames: int, handle_frames: int, filmed_per_shown: float = 1.0) -> int:
    """Frames to film for a cut with a handle at each end, rounded up.

    Args:
        cut_frames: frames in the cut.
        handle_frames: frames before and as many after; 8 to 12 is common practice, no source.
        filmed_per_shown: frames filmed for each one shown. It stays 1 at any camera rate; 2 where
            every other frame is left out in printing, a half where each is printed twice.

    Raises:
        ValueError: a count is negative or the ratio not above zero.

    Source:
        Counting, frames; handles are common practice.
    """
    demands.not_negative(cut_frames=cut_frames, handle_frames=handle_frames)
    demands.above_zero(filmed_per_shown=filmed_per_shown)
    return math.ceil((cut_frames + 2 * handle_frames) * filmed_per_shown)


def screen_s(real_s: float, filming_fps: float, shown_fps: float = 24.0) -> float:
    """Screen time of so much real time filmed at another rate, seconds.

    Args:
        real_s: time before the lens, seconds.
        filming_fps: camera rate, frames a second.
        shown_fps: projection rate, frames a second.

    Raises:
        ValueError: the time is negative or a rate not above zero.

    Source:
        Film-school textbook chapter, DOI 10.4324/9780080547701-17.
    """
    demands.not_negative(real_s=real_s)
    demands.above_zero(filming_fps=filming_fps, shown_fps=shown_fps)
    return real_s * filming_fps / shown_fps


def pulled_down_frames(film_frames: int) -> float:
    """Video frames of film frames under 2:3 pull-down: five for every four.

    Args:
        film_frames: film frames, a count.

    Raises:
        ValueError: frames are negative.

    Source:
        Definition of 2:3 pull-down: four film frames on five of video.
    """
    demands.not_negative(film_frames=film_frames)
    return film_frames * 5 / 4


def tape_measure_m(frames: float, perforations: float = 4) -> float:
    """Length of unshrunk 35 mm film with a tape measure, metres, at 4.75 mm a perforation.

    Args:
        frames: a count of frames.
        perforations: perforations a frame, a count.

    Raises:
        ValueError: frames are negative or perforations not above zero.

    Source:
        Pitch of unshrunk 35 mm film, 4.75 mm, as standardised.
    """
    demands.not_negative(frames=frames)
    demands.above_zero(perforations=perforations)
    return frames * perforations * MM_PER_PERFORATION / 1000


def time_code(frame: int, fps: int = 24) -> str:
    """Time code of a frame counted from 0, ``HH:MM:SS:FF``, none dropped.

    Right for 24, 25 and 30, and for 23.976 counted as 24: there is no drop-frame for those.

    Args:
        frame: number of the frame, counted from 0.
        fps: rate, frames a second.

    Raises:
        ValueError: the frame is negative, the rate below 1, or the code passes a day.

    Source:
        Definition of time code without drop.
    """
    if fps < 1 or not 0 <= frame < 24 * 3600 * fps:
        raise ValueError(f"frame {frame} has no time code at {fps} frames a second")
    seconds, frames = divmod(frame, fps)
    minutes, second = divmod(seconds, 60)
    return f"{minutes // 60:02d}:{minutes % 60:02d}:{second:02d}:{frames:02d}"


def drop_frame_code(frame: int) -> str:
    """Drop-frame time code of a frame counted from 0, ``HH:MM:SS;FF``.

    Numbers 00 and 01 are left out each minute except every tenth.

    Args:
        frame: number of the frame, counted from 0.

    Raises:
        ValueError: the frame is negative or beyond a day.

    Source:
        SMPTE ST 12-1, from memory; 17 982 frames in ten minutes.
    """
    if not 0 <= frame < DROP_FRAMES_PER_DAY:
        raise ValueError(f"frame {frame} is outside the {DROP_FRAMES_PER_DAY} frames of a day")
    tens, rest = divmod(frame, DROP_FRAMES_PER_TEN_MINUTES)
    left_out = 18 * tens + 2 * max(0, (rest - 2) // DROP_FRAMES_PER_MINUTE)
    return ";".join(time_code(frame + left_out, 30).rsplit(":", 1))


def drop_frame_number(code: str) -> int:
    """Frame, counted from 0, of a drop-frame code; undoes `drop_frame_code`.

    Args:
        code: drop-frame time code, as ``01:00:00;00``.

    Raises:
        ValueError: it is not such a code, or one of the numbers left out.

    Source:
        `drop_frame_code` undone.
    """
    read = _CODE.fullmatch(code)
    if read is None or read[4] != ";":
        raise ValueError(f"{code!r} is not a drop-frame code such as 01:00:00;00")
    hours, minutes, seconds, frames = (int(read[part]) for part in (1, 2, 3, 5))
    if hours > 23 or minutes > 59 or seconds > 59 or frames > 29:
        raise ValueError(f"{code!r} is no time of day at 30 frames a second")
    if seconds == 0 and frames < 2 and minutes % 10:
        raise ValueError(f"{code!r} is one of the numbers drop-frame leaves out")
    all_minutes = 60 * hours + minutes
    left_out = 2 * (all_minutes - all_minutes // 10)
    return 1800 * all_minutes + 30 * seconds + frames - left_out
