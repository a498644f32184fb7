"""A paper that is asked for again, and of which nothing has changed: found without putting it together.

To find a kept paper by what it is made of, its words and drawings must be made, which takes ten times as
long as reading it. So a process remembers what was asked of the database for a paper, and a digest of the
answers. Asked for the paper again, it puts the same questions again; where every answer is as it was, so
is the paper. What was asked is told by the database connection itself: nothing can be forgotten in a list.
"""

import hashlib
import pickle
import sys
import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from typing import Any

from django.db import connection
from django.utils import timezone
from django.utils.translation import get_language

from shoprepair.papers import kept

MOST = 500
"""Papers that a process remembers, a few kilobytes each."""
_READS = "SELECT"
Question = tuple[str, Any]


@dataclass(slots=True)
class _Heard:
    """What was asked while a paper was put together."""

    questions: list[Question] = field(default_factory=list)
    answers: list[bytes] = field(default_factory=list)
    seals: list[kept.Seal] = field(default_factory=list)
    lasting: bool = True

    def asked(self, execute: Callable[..., Any], sql: str, params: Any, many: bool, context: Any) -> Any:
        """Put it beforehand, so that what changes between the two is seen as a change the next time."""
        if many or not sql.startswith(_READS):
            self.lasting = False
        if self.lasting:
            question = sys.intern(_as_it_is_put(sql, context)), params
            self.questions.append(question)
            self.answers += _answers([question])
        return execute(sql, params, many, context)


_heard: ContextVar[_Heard | None] = ContextVar(
    "what is asked for the paper that is put together", default=None
)
_known: OrderedDict[Hashable, _Heard] = OrderedDict()
_lock = threading.Lock()


def paper(of: Hashable, put_together: Callable[[], bytes]) -> bytes:
    """The paper, as it was kept where nothing of it has changed, else as `put_together` makes it.

    `of` is all that it hangs on beside the database: which paper, of what, on which sheet. The day and the
    language are taken as they are. What it hangs on must be asked of the database in `put_together`.
    """
    of = (of, timezone.localdate(), get_language())
    found = _found(of)
    return found if found is not None else _made(of, put_together)


def sealed_as(seal: kept.Seal) -> None:
    """Say under which seal the paper that is put together is kept."""
    if heard := _heard.get():
        heard.seals.append(seal)


def not_for_long() -> None:
    """Say that the paper that is put together lacks something which may be there the next time."""
    if heard := _heard.get():
        heard.lasting = False


def forget() -> None:
    """Remember nothing any more."""
    with _lock:
        _known.clear()


def _found(of: Hashable) -> bytes | None:
    with _lock:
        if heard := _known.get(of):
            _known.move_to_end(of)
    if heard is None or not _as_before(heard):
        return None
    return kept.find(heard.seals[0])


def _made(of: Hashable, put_together: Callable[[], bytes]) -> bytes:
    with _listening() as heard:
        content = put_together()
    with _lock:
        _known.pop(of, None)
        if heard.lasting and len(heard.seals) == 1 and _as_before(heard):
            _known[of] = heard
            while len(_known) > MOST:
                _known.popitem(last=False)
    return content


@contextmanager
def _listening() -> Iterator[_Heard]:
    heard = _Heard()
    before = _heard.set(heard)
    try:
        with connection.execute_wrapper(heard.asked):
            yield heard
    finally:
        _heard.reset(before)


def _as_before(heard: _Heard) -> bool:
    return list(_answers(heard.questions)) == heard.answers


def _answers(questions: Iterable[Question]) -> Iterator[bytes]:
    """A digest of the rows of each, read past Django's own hooks: whoever listens would hear himself."""
    connection.ensure_connection()
    with connection.wrap_database_errors:
        for question in questions:
            rows = connection.connection.execute(*question).fetchall()
            yield hashlib.sha256(pickle.dumps(rows)).digest()


def _as_it_is_put(sql: str, context: Any) -> str:
    """With the marks for its parameters that the database itself knows, so that this is done once."""
    convert = getattr(context["cursor"].cursor, "convert_query", None)
    return str(convert(sql)) if convert else sql
