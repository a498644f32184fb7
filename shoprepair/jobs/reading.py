"""Records of one job that a page needs in several places: read once while the page is put together."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.db.models import Model, Prefetch, prefetch_related_objects

from shoprepair.jobs.models import Damage, Job


@contextmanager
def read_once(job: Job, *what: "str | Prefetch[Any]") -> Iterator[None]:
    """Read these records of the job now; within, whoever asks for all of them is given the same.

    For pages alone. Nothing is changed within, since what is given is as old as the beginning; and a change
    finds its job anew, under its lock, where all is read anew.
    """
    before = dict(_kept(job))
    prefetch_related_objects([job], *what)
    try:
        yield
    finally:
        job._prefetched_objects_cache = before  # type: ignore[attr-defined]


def is_read(record: Model, name: str) -> bool:
    """Whether what hangs on a record by this name was read with it, so that asking for it costs nothing."""
    return name in _kept(record) or name in record._state.fields_cache


def live_damages(job: Job) -> list[Damage]:
    """The damages of the job that were not taken back, by their numbers."""
    if is_read(job, "damages"):
        return sorted(
            (damage for damage in job.damages.all() if damage.removed_at is None),
            key=lambda damage: damage.number,
        )
    return list(Damage.objects.filter(job=job, removed_at=None).order_by("number"))


def _kept(record: Model) -> dict[str, Any]:
    return getattr(record, "_prefetched_objects_cache", None) or {}
