"""The public PSPLIB single-mode format, so that anyone can compare.

Takes the text of a `.sm` file, gives an `Instance` whose total is the makespan. Knows nothing of
the disk.

Source:
    R. Kolisch and A. Sprecher, "PSPLIB - a project scheduling problem library", European Journal of
    Operational Research 96 (1996), pp. 205-216.
"""

from __future__ import annotations

from planner.schedule.instance import Activity, Instance, Mode, Precedence, Resource, Weights


def read_psplib(text: str) -> Instance:
    """Read one instance: jobs with one mode, precedences, renewable resources.

    Raises:
        ValueError: a section is missing, or a job has more than one mode.
    """
    lines = text.splitlines()
    successors = _numbers(lines, "PRECEDENCE RELATIONS", skip=1)
    requests = _numbers(lines, "REQUESTS/DURATIONS", skip=2)
    capacities = _numbers(lines, "RESOURCEAVAILABILITIES", skip=1)[0]
    if len(successors) != len(requests):
        raise ValueError("some job has more than one mode")
    after: dict[int, list[Precedence]] = {row[0]: [] for row in requests}
    for job, _, _, *follow in successors:
        for later in follow:
            after[later].append(Precedence(str(job)))
    names = [f"R{n}" for n in range(1, len(capacities) + 1)]
    activities = tuple(
        Activity(
            id=str(job),
            modes=(
                Mode(
                    duration,
                    {name: units for name, units in zip(names, needs, strict=True) if units},
                ),
            ),
            after=tuple(after[job]),
        )
        for job, _, duration, *needs in requests
    )
    resources = tuple(map(Resource, names, capacities))
    return Instance(activities, resources, weights=Weights(late=0, finish=1, cost=0, changeover=0))


def _numbers(lines: list[str], heading: str, skip: int) -> list[list[int]]:
    """Rows of numbers under a heading and `skip` more lines, up to a line of stars."""
    try:
        first = next(n for n, line in enumerate(lines) if line.startswith(heading)) + 1 + skip
    except StopIteration:
        raise ValueError(f"there is no section {heading}") from None
    rows = []
    for line in lines[first:]:
        if line.startswith("*"):
            break
        if line.strip() and not line.startswith("-"):
            rows.append([int(word) for word in line.split()])
    return rows
