"""How long prints take: run by hand, ``python tests/bench/bench_prints.py``.

Sets 150 day orders of three set-ups each in one document, from made-up calls. Printed in
milliseconds of the processor, all threads together, and kilobytes.
"""

from __future__ import annotations

from time import process_time
from typing import TYPE_CHECKING

from planner.pages.prints.sheet import Sheet, Table, Under
from planner.pages.prints.typeset import typeset

if TYPE_CHECKING:
    from planner.pages.prints.sheet import Cell

SHEETS = 150
HEADS = ("From", "Until", "Work", "Who", "Began", "Ended")
BLANK = "____"


def _sheet(number: int) -> Sheet:
    rows: list[tuple[Cell, ...] | Under] = []
    for set_up in range(3):
        with_ = "With Studio camera one, prime 35, Long track rig."
        rows.append(Under(f"Set-up: town 1/24 prime_35 {number}.{set_up}", with_))
        rows += [
            (
                f"{8 + 3 * set_up + hour:02d}:00",
                f"{9 + 3 * set_up + hour:02d}:00",
                (f"SH{number:03d}.town: set up, 1 h", "The square and nave, shining wet."),
                "stage × 3",
                BLANK,
                BLANK,
            )
            for hour in range(3)
        ]
    table = Table(HEADS, tuple(rows), (0, 0, 3, 1.3, 0.8, 0.8))
    about = f"North stage, day {number}"
    return Sheet("Day order", about, "First call 08:00.", (table,), "Order 1.")


def main() -> None:
    """Print what 150 sheets take, first time and again."""
    sheets = [_sheet(number) for number in range(SHEETS)]
    for label in ("first", "again"):
        begun = process_time()
        pdf = typeset("A generated show", "Day order", sheets)
        took = (process_time() - begun) * 1000
        print(f"{SHEETS} day orders, {label}: {took:,.0f} ms, {len(pdf) / 1000:,.0f} kB")


if __name__ == "__main__":
    main()
