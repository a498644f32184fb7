"""Another database than the shop's own, opened for a while under a name of its own."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.core.management import call_command
from django.db import connections

ALIAS = "elsewhere"


@contextmanager
def opened(said: dict[str, Any], alias: str = ALIAS) -> Iterator[str]:
    """The name under which Django knows it meanwhile."""
    own = {"default": connections["default"].settings_dict}
    # The type of Django's own table of databases says nothing of adding to it.
    known: Any = connections.settings
    known[alias] = connections.configure_settings({**own, alias: said})[alias]
    try:
        yield alias
    finally:
        connections[alias].close()
        del connections[alias]
        del known[alias]


def lay_out(alias: str) -> None:
    """Bring its tables to where this program has them."""
    call_command("migrate", database=alias, interactive=False, verbosity=0)
