"""Moving a shop from one database to another: all of it, or nothing, and the first stays as it was."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from django.apps import apps
from django.contrib.sessions.models import Session
from django.db import DataError, IntegrityError, connections, transaction
from django.db.models import Model
from django.db.models.sql import InsertQuery
from django.utils.translation import gettext

from shoprepair import database_url
from shoprepair.shop.archive.tables import PROGRAM, tables
from shoprepair.shop.backup import elsewhere, embedded, sequences, server
from shoprepair.shop.backup.digests import Digest, digest, rows
from shoprepair.shop.backup.layout import BackupTrouble
from shoprepair.shop.models import Erasing

AT_ONCE = 500
Tell = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Moved:
    """What is in the other database now, table by table, compared with where it came from."""

    digests: dict[str, Digest]

    @property
    def rows(self) -> int:
        return sum(each.rows for each in self.digests.values())


def move(source: str, target: str, tell: Tell = lambda _: None) -> Moved:
    """Copy every table, in one transaction of the target, and compare counts and digests before its end.

    The target has its tables and nothing in them. Raises BackupTrouble; it is then as empty as before.
    """
    if why := obstacle(target):
        raise BackupTrouble(why)
    with _of_one_moment(source), transaction.atomic(using=target):
        try:
            found = {model._meta.label: _copy(model, source, target, tell) for model in models()}
            connections[target].check_constraints()
        except (DataError, IntegrityError, ValueError) as error:
            raise BackupTrouble(
                gettext("The other database does not take it: %(error)s.")
                % {"error": str(error).splitlines()[0][:200]}
            ) from error
        sequences.put(target, sequences.last(source, models()), models())
        for model in models():
            if digest(model, target) != found[model._meta.label]:
                raise BackupTrouble(
                    gettext("%(label)s came out otherwise than it went in. Nothing was moved.")
                    % {"label": model._meta.label}
                )
    return Moved(found)


def obstacle(target: str) -> str:
    """Why nothing can be moved into a database, in a sentence; empty where it is empty."""
    for model in models():
        if model._base_manager.using(target).exists():
            return gettext("The other database is not empty: %(label)s has records. Name an empty one.") % {
                "label": model._meta.label
            }
    return ""


def in_use(alias: str) -> bool:
    """Whether another program has a database open."""
    if connections[alias].vendor == "postgresql":
        return server.others(alias) > 0
    connections[alias].close()
    return embedded.is_in_use(Path(connections[alias].settings_dict["NAME"]))


def into_file(path: Path) -> None:
    """Copy the shop's database into a new file, while the shop works."""
    said = database_url.sqlite(path)
    # The file is written once and read again: no log, and no waiting for the disk at each step.
    said["OPTIONS"] = {"init_command": "PRAGMA journal_mode=MEMORY;PRAGMA synchronous=OFF"}
    with elsewhere.opened(said) as target:
        elsewhere.lay_out(target)
        move("default", target)


def models() -> list[type[Model]]:
    """Every table that moves, those that point before those they point to.

    Keys are compared at the end, and a trigger that asks whether the quote of a line is still a draft finds
    no quote yet.
    """
    kept = [table.model for table in reversed(tables())]
    return [*kept, *(model for model in _ours() if model not in kept), Session]


def _ours() -> list[type[Model]]:
    """Every table of the program, those too that no archive takes along."""
    found = apps.get_models(include_auto_created=True)
    return [
        model
        for model in found
        if model.__module__.startswith(PROGRAM) and model is not Erasing and model._meta.managed
    ]


def _copy(model: type[Model], source: str, target: str, tell: Tell) -> Digest:
    fields = list(model._meta.concrete_fields)
    names = [field.attname for field in fields]
    found, seen = rows(model, source), Digest()
    while chunk := list(islice(found, _at_once(len(fields), target))):
        query = InsertQuery(model)
        query.insert_values(fields, [model(**dict(zip(names, row, strict=True))) for row in chunk], raw=True)
        query.get_compiler(using=target).execute_sql()
        for row in chunk:
            seen = seen.plus(row)
    tell(f"{model._meta.label}: {seen.rows}")
    return seen


def _at_once(fields: int, alias: str) -> int:
    most = connections[alias].features.max_query_params
    return max(1, min(AT_ONCE, most // fields if most else AT_ONCE))


@contextmanager
def _of_one_moment(alias: str) -> Iterator[None]:
    """PostgreSQL: a repeatable read. SQLite: whoever else wants to write waits."""
    with transaction.atomic(using=alias):
        if connections[alias].vendor == "postgresql":
            with connections[alias].cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
        yield
