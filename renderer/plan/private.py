"""A plan as the owner of the garden may have it: nothing of what only the firm is to know."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from renderer.plan.file_form import digest, digest_of_content
from renderer.plan.model import Customer, OwnerCopy
from renderer.plan.origin import as_measured

if TYPE_CHECKING:
    from renderer.plan.model import Plan

# The keys that are for the crew and the office; a test asks for a decision on every text of a plan.
PRIVATE = (
    "JobHead.crew",
    "JobHead.access",
    "JobHead.customer",
    "JobHead.notes",
    "Plan.acknowledged",
)
# What says where the garden is, for a copy that goes to somebody else.
PLACE = ("JobHead.site", "Plan.position")

# That an answer about buried services is there is no secret; what it says, and who, may be.
ASKED = "yes"

_EMPTY: dict[str, Any] = {
    "crew": "",
    "access": "",
    "customer": Customer(),
    "notes": (),
    "acknowledged": (),
    "site": (),
    "position": None,
}


def for_owner(plan: Plan, *, place: bool = True) -> Plan:
    """The plan without what is private, which keeps the code of the whole one.

    Without ``place`` it does not say where the garden is either. Coordinates are those of the file.
    """
    whole = as_measured(plan)
    hidden = (*PRIVATE, *(() if place else PLACE))
    head, own = (
        {key: _EMPTY[key] for model, key in (each.split(".") for each in hidden) if model == name}
        for name in ("JobHead", "Plan")
    )
    if whole.job.services_asked:
        head["services_asked"] = ASKED
    job = whole.job.model_copy(update=head)
    copy = whole.model_copy(update={**own, "job": job, "owner_copy": None})
    holds, of = digest_of_content(copy), digest(whole)
    if holds == of:
        return copy
    return copy.model_copy(update={"owner_copy": OwnerCopy(of=of, holds=holds)})
