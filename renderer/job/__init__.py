"""A job: one plan with all that is worked out from it, before any of it is put on paper."""

from __future__ import annotations

from renderer.job.job import Job, prepare
from renderer.job.kept import Jobs

__all__ = ["Job", "Jobs", "prepare"]
