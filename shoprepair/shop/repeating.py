"""A request that lost to another at the database server is done once more by the program, unseen.

A server that finds two transactions waiting for each other (a deadlock), or changes that do not go together
(a serialization failure), gives one of them up: all of it is rolled back, and the same again may succeed.
That happens up to three times, each after a short wait of chance length so that the two do not meet again;
then the page of `shop.busy` says it. It is done only where doing it again cannot do anything twice:

* nothing of this request was committed yet;
* it carries no file: that was read already, and may have been moved. Such a form gets the page at once, which
  asks for the photos once more, or is sent again by the page that keeps them.
"""

import logging
import random
import time
from collections.abc import Callable
from typing import Any

from django.contrib import auth
from django.contrib.messages.storage import default_storage
from django.db import OperationalError, connection, transaction
from django.http import HttpRequest, HttpResponse
from django.utils.functional import SimpleLazyObject

from shoprepair.shop.headers import SAFE_METHODS
from shoprepair.shop.settings import current

MOST = 3
"""How often it is done again."""
LONGEST_WAIT_S = 0.05
"""Before the first repetition; twice as long before each further one."""
FORMS = ("application/x-www-form-urlencoded", "multipart/form-data")
_WRITES = ("INSERT", "UPDATE", "DELETE", "WITH", "MERGE", "TRUNCATE", "CREATE", "ALTER", "DROP")
log = logging.getLogger(__name__)


class Watch:
    """Sees whether anything that a request wrote was committed."""

    committed = False

    def __call__(
        self, execute: Callable[..., Any], sql: str, params: Any, many: bool, context: dict[str, Any]
    ) -> Any:
        """As Django calls it around each statement."""
        done = execute(sql, params, many, context)
        if not self.committed and sql.lstrip()[:8].upper().startswith(_WRITES):
            # Forgotten if the transaction is rolled back; called at once where there is none.
            transaction.on_commit(self._note)
        return done

    def _note(self) -> None:
        self.committed = True


class RepeatMiddleware:
    """The innermost: what it does again is the view alone, with everything read anew."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        watch = request.database_watch = Watch()  # type: ignore[attr-defined]
        with connection.execute_wrapper(watch):
            return self.get_response(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """What the view answered in the end; None where it is not done again, or was lost each time."""
        for turn in range(MOST):
            if not was_lost(error) or not may_repeat(request):
                return None
            log.info("Lost to another transaction; done again.")
            time.sleep(random.uniform(0, LONGEST_WAIT_S * 2**turn))  # noqa: S311 - only so that two differ
            try:
                return _view(request)
            except OperationalError as lost:
                if not was_lost(lost):
                    raise
        return None


def was_lost(error: BaseException) -> bool:
    """Whether the server rolled the transaction back in favour of another: SQLSTATE class 40."""
    state = getattr(error.__cause__, "sqlstate", None) or ""
    return isinstance(error, OperationalError) and state.startswith("40")


def may_repeat(request: HttpRequest) -> bool:
    """Whether doing a request again does nothing twice, and has all that it needs."""
    watch: Watch | None = getattr(request, "database_watch", None)
    if watch is None or watch.committed or connection.in_atomic_block:
        return False
    return request.method in SAFE_METHODS or (request.content_type in FORMS and not request.FILES)


def _view(request: HttpRequest) -> HttpResponse:
    """The view once more, without anything that the lost try had read or said."""
    match: Any = request.resolver_match
    request.shop = current()  # type: ignore[attr-defined]
    request.user = SimpleLazyObject(lambda: auth.get_user(request))  # type: ignore[assignment]
    request._messages = default_storage(request)  # type: ignore[attr-defined]
    answer: HttpResponse = match.func(request, *match.args, **match.kwargs)
    return answer
