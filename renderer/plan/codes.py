"""Eight letters and figures that stand for a digest on paper."""

from __future__ import annotations

# Without 0 O, 1 I L, 2 Z, 5 S, 8 B and U V: no letter is read for another on a wet sheet.
CODE_LETTERS = "34679ACDEFGHJKMNPQRTWXY"
CODE_LENGTH = 8


def short_code(digest: str) -> str:
    """Eight letters and figures that stand for a digest on paper, none easily misread."""
    number = int(digest.removeprefix("sha256:"), 16)
    code = ""
    for _ in range(CODE_LENGTH):
        number, place = divmod(number, len(CODE_LETTERS))
        code += CODE_LETTERS[place]
    return code
