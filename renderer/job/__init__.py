"""A job: one plan with all that is worked out from it, before any of it is put on paper."""

from __future__ import annotations

from renderer.job.job import JobData

__all__ = ["JobData"]
