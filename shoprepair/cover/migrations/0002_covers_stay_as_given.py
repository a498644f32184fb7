"""Covers and their endings stay as they were written: the database itself refuses to change or delete them.

SQLite forgets these triggers when a later migration makes one of the tables anew: such a migration takes
them away before and puts them back after.
"""

from typing import Any

from django.db import migrations

COVER = "A cover is never changed. End it instead."
ENDING = "An ended cover stays ended."
TRIGGERS = [
    ("cover_refuses_change", "UPDATE", "cover_cover", COVER),
    ("cover_refuses_deletion", "DELETE", "cover_cover", COVER),
    ("ending_refuses_change", "UPDATE", "cover_ending", ENDING),
    ("ending_refuses_deletion", "DELETE", "cover_ending", ENDING),
]


def _sqlite(name: str, verb: str, table: str, refusal: str) -> list[str]:
    return [f"CREATE TRIGGER {name} BEFORE {verb} ON {table} BEGIN SELECT RAISE(ABORT, '{refusal}'); END"]


def _postgresql(name: str, verb: str, table: str, refusal: str) -> list[str]:
    return [
        f"""CREATE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS
        $$ BEGIN RAISE EXCEPTION '{refusal}' USING ERRCODE = 'restrict_violation'; END $$""",
        f"CREATE TRIGGER {name} BEFORE {verb} ON {table} FOR EACH ROW EXECUTE FUNCTION {name}()",
    ]


def refuse(apps: Any, schema_editor: Any) -> None:
    statements = _sqlite if schema_editor.connection.vendor == "sqlite" else _postgresql
    for trigger in TRIGGERS:
        for statement in statements(*trigger):
            schema_editor.execute(statement)


def allow(apps: Any, schema_editor: Any) -> None:
    on_sqlite = schema_editor.connection.vendor == "sqlite"
    for name, _, table, _ in TRIGGERS:
        if on_sqlite:
            schema_editor.execute(f"DROP TRIGGER {name}")
        else:
            schema_editor.execute(f"DROP TRIGGER {name} ON {table}")
            schema_editor.execute(f"DROP FUNCTION {name}()")


class Migration(migrations.Migration):
    dependencies = [("cover", "0001_initial")]
    operations = [migrations.RunPython(refuse, allow)]
