"""``dataclass`` for values that nothing changes: frozen for the type checker, cheap when it runs.

The library's own frozen classes take several times as long to make a value, and half as long again
to be made themselves, of which a print has two hundred. What callers are given (plan, lay, finding,
job, options) is frozen by the library all the same, for no type checker need look at their code.
"""

from __future__ import annotations

import dataclasses
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:

    def dataclass(*, frozen, eq=True, **more):
        """As the library's, with ``frozen`` left to the type checker; hashed by value if ``eq``."""
        assert frozen, "values that change are plain dataclasses"
        return dataclasses.dataclass(eq=eq, unsafe_hash=eq, **more)
