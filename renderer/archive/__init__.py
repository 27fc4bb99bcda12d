"""What a print carries of its own plan, and how to have it back: from the file, or from paper."""

from __future__ import annotations
