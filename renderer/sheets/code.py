"""Square codes: on each page one of job, revision and digest, on a map those of its plan."""

from __future__ import annotations

from functools import lru_cache

from renderer.primitives import Area, shifted

CODE_MM = 10.0  # fields of 0.3 mm or more, which a phone reads at a hand's breadth; common practice
DIGITS = 16  # of the digest: enough to tell all prints of a firm apart
# Letters of the job number and of the revision, of which a plan may have 2,000: with the digest
# the 46 bytes of version 4 at that level (ISO/IEC 18004, table 7), whose 33 fields are 0.3 mm.
NUMBER_LETTERS = 20
REVISION_LETTERS = 8
ERROR_LEVEL = "q"  # a quarter of the code may be lost
CODE_ROLE = "code"

PLAN_ROLE = "plan-code"
PLAN_LEVEL = "m"  # about a seventh of a code may be lost
QUIET_FIELDS = 4  # of light all round a code, by ISO/IEC 18004
# Letters of the alphabet of 45 that a code holds at that level, by version: ISO/IEC 18004, table 7.
_LETTERS = (
    *(20, 38, 61, 90, 122, 154, 178, 221, 262, 311),
    *(366, 419, 483, 528, 600, 656, 734, 816, 909, 970),
)
# The code of a plan is packed, so that no mask of its fields is better than another.
_MASK = 0


def job_code(number: str, revision: str, digest: str) -> str:
    """What the code says: job number, revision and the first 16 digits of the digest.

    Of a number or revision that is longer than a code of 10 mm has room for, how it begins.
    """
    digits = digest.removeprefix("sha256:")[:DIGITS].upper()
    return f"{number[:NUMBER_LETTERS]} {revision[:REVISION_LETTERS]} {digits}"


@lru_cache(maxsize=4)  # pages of one job follow each other, and all have it in one place
def code_area(text: str, x: float, y: float) -> Area:
    """The code as one filled area of 10 mm, its top left corner at (x, y); no quiet zone."""
    return shifted(_area(text), x, y)  # type: ignore[return-value]


def _area(text: str) -> Area:
    import segno

    code = segno.make(text, error=ERROR_LEVEL, micro=False, boost_error=False)
    dark = [[bool(cell) for cell in row] for row in code.matrix]
    step = CODE_MM / len(dark)
    rings = tuple(
        tuple((column * step, row * step) for column, row in ring) for ring in outlines(dark)
    )
    return Area(rings, None, "#000000", title=text, role=CODE_ROLE)


def side_of(version: int) -> int:
    """How many fields a code of a version is wide."""
    return 17 + 4 * version


def letters_of(version: int) -> int:
    """How many letters the code of a part of a plan holds, up to version 20."""
    return _LETTERS[version - 1]


def least_version(letters: int) -> int:
    """The least version that holds so many letters, of which version 20 holds 970."""
    return next(version for version, most in enumerate(_LETTERS, 1) if letters <= most)


def plan_code(text: str, version: int, field_mm: float, x: float, y: float) -> Area:
    """The code of a part of a plan, its top left corner at (x, y) mm; no quiet zone."""
    import segno

    code = segno.make(
        text,
        error=PLAN_LEVEL,
        version=version,
        mode="alphanumeric",
        mask=_MASK,
        micro=False,
        boost_error=False,
    )
    dark = [[bool(cell) for cell in row] for row in code.matrix]
    rings = tuple(
        tuple((x + column * field_mm, y + row * field_mm) for column, row in ring)
        for ring in outlines(dark)
    )
    return Area(rings, None, "#000000", role=PLAN_ROLE)


def outlines(dark: list[list[bool]]) -> list[tuple[tuple[int, int], ...]]:
    """Borders of the dark fields of a grid as closed rings of (column, row) corners.

    Filled by the even-odd rule they give the dark fields back, without the seams
    that fields drawn one by one show in print.
    """
    following = _edges(dark)
    rings = []
    while following:
        start = next(iter(following))
        ring = [start]
        step = (0, 0)
        here = start
        while True:
            there = _take(following, here, step)
            new_step = (there[0] - here[0], there[1] - here[1])
            if new_step == step:
                ring.pop()
            if there == start:
                break
            ring.append(there)
            here, step = there, new_step
        rings.append(tuple(ring))
    return rings


def _edges(dark: list[list[bool]]) -> dict[tuple[int, int], list[tuple[int, int]]]:
    """Unit edges between dark and light, dark on the right hand, by where they start."""
    edges: dict[tuple[int, int], list[tuple[int, int]]] = {}

    def is_dark(column: int, row: int) -> bool:
        return 0 <= row < len(dark) and 0 <= column < len(dark[row]) and dark[row][column]

    for row, cells in enumerate(dark):
        for column, cell in enumerate(cells):
            if not cell:
                continue
            if not is_dark(column, row - 1):
                edges.setdefault((column, row), []).append((column + 1, row))
            if not is_dark(column + 1, row):
                edges.setdefault((column + 1, row), []).append((column + 1, row + 1))
            if not is_dark(column, row + 1):
                edges.setdefault((column + 1, row + 1), []).append((column, row + 1))
            if not is_dark(column - 1, row):
                edges.setdefault((column, row + 1), []).append((column, row))
    return edges


def _take(
    edges: dict[tuple[int, int], list[tuple[int, int]]],
    here: tuple[int, int],
    step: tuple[int, int],
) -> tuple[int, int]:
    """The next corner of a ring, turning right where two fields touch by a corner."""
    choices = edges[here]
    right = (here[0] - step[1], here[1] + step[0])
    there = right if right in choices else choices[0]
    choices.remove(there)
    if not choices:
        del edges[here]
    return there
