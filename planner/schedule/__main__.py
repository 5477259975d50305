"""`python -m planner.schedule FILE.sm`: solve one public instance and print how well.

Takes the command line, prints makespan, bound and gap. Knows nothing of shows.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from planner.schedule.answer import Budget
from planner.schedule.checker import verify
from planner.schedule.psplib import read_psplib
from planner.schedule.run import solve

if TYPE_CHECKING:
    from collections.abc import Sequence


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command.

    Returns:
        0, or 1 if the file cannot be read as an instance, or 3 if the answer fails its check.
    """
    parser = argparse.ArgumentParser(prog="python -m planner.schedule", description=main.__doc__)
    parser.add_argument("file", type=Path, help="a PSPLIB single-mode instance, .sm")
    parser.add_argument("--seconds", type=float, default=5.0, help="time to improve (default 5)")
    parser.add_argument("--seed", type=int, default=0)
    chosen = parser.parse_args(arguments)
    try:
        instance = read_psplib(chosen.file.read_text(encoding="latin-1"))
    except (OSError, ValueError) as error:
        sys.stderr.write(f"{chosen.file}: {error}\n")
        return 1
    answer = solve(instance, Budget(seconds=chosen.seconds, seed=chosen.seed))
    broken = verify(instance, answer)
    if broken:
        sys.stderr.write("\n".join(broken) + "\n")
        return 3
    proven = "proven best" if answer.proven else f"gap at most {100 * answer.gap:.1f} %"
    sys.stdout.write(
        f"makespan {answer.parts.finish}, bound {answer.lower_bound}, {proven}; {answer.method}\n"
    )
    return 0


if __name__ == "__main__":
    sys.exit(main())
