"""A notice that takes back at once what it tells of: its button sends what undoes it."""

import json
from typing import Any, NamedTuple

from django.contrib import messages
from django.contrib.messages.storage.base import Message
from django.http import HttpRequest

_MARK = "undo:"


class Undo(NamedTuple):
    """Where the button sends to, and the fields that go along."""

    url: str
    fields: list[tuple[str, str]]


def tell(request: HttpRequest, words: str, url: str, **fields: object) -> None:
    """Say what was done, with a button that undoes it by sending these fields to an address of the shop.

    The notice travels signed, in the browser's cookie or its log-in; the act behind it asks who may, as ever.
    """
    messages.success(request, words, extra_tags=tags(url, **fields))


def tags(url: str, **fields: object) -> str:
    """What a notice carries along that has such a button."""
    return _MARK + json.dumps([url, [[name, str(value)] for name, value in fields.items()]])


def read(message: Message) -> Undo | None:
    """What a notice's button sends; None where it has none."""
    tags: Any = message.extra_tags or ""
    if not tags.startswith(_MARK):
        return None
    url, fields = json.loads(tags.removeprefix(_MARK))
    return Undo(url, [(name, value) for name, value in fields])
