"""A process that dies at one statement to the database, without a word, as by a power cut."""

import os
import signal
import warnings
from collections.abc import Callable
from typing import Any

from django.apps import apps
from django.db import connection, connections

from shoprepair.jobs.models import Job
from shoprepair.shop.models import Counter


def killed_at(number: int, act: Callable[[], object]) -> bool:
    """Do it in a process of its own that is killed before its statement `number`; whether it died.

    False: it came through, for it has fewer statements.
    """
    # A connection is of one process: the child opens its own.
    connections.close_all()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)
        child = os.fork()
    if child == 0:
        _live_until(number, act)
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        return True
    assert os.WEXITSTATUS(status) == 0, "It failed before it was killed."
    return False


def statements(act: Callable[[], object]) -> int:
    """How many statements it takes, found out in a process of its own that is killed at its end."""
    reader, writer = os.pipe()

    def counted() -> None:
        seen = [0]
        with connection.execute_wrapper(_counting(seen)):
            act()
            os.write(writer, str(seen[0]).encode())
            os.kill(os.getpid(), signal.SIGKILL)

    def in_one_transaction_that_never_ends() -> None:
        from django.db import transaction

        with transaction.atomic():
            counted()

    assert killed_at(10**6, in_one_transaction_that_never_ends)
    os.close(writer)
    with os.fdopen(reader) as told:
        return int(told.read())


def _live_until(number: int, act: Callable[[], object]) -> None:
    """Never returns: nothing of the parent's may be run to its end here."""
    seen = [0]
    code = 1
    try:
        with connection.execute_wrapper(_counting(seen, number)):
            act()
        code = 0
    finally:
        os._exit(code)


def _counting(seen: list[int], last: int = 0) -> Any:
    def execute(run: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
        seen[0] += 1
        if seen[0] == last:
            os.kill(os.getpid(), signal.SIGKILL)
        return run(sql, params, many, context)

    return execute


def the_shop() -> dict[str, object]:
    """All that a half-done change would alter: how many rows of each kind, every job, every series."""
    rows: dict[str, object] = {model._meta.label: model._base_manager.count() for model in apps.get_models()}
    jobs = list(Job.objects.order_by("pk").values_list("pk", "stage", "version", "hold", "damage_count"))
    return rows | {
        "jobs": jobs,
        "series": list(Counter.objects.order_by("name").values_list("name", "value")),
    }
