"""While somebody is erased, an ending's note and the name of whoever ended it may be written over.

Nothing of a cover itself ever changes: it names nobody. SQLite forgets this trigger when a later migration
makes the table anew: such a migration takes it away before and puts it back after.
"""

from typing import Any

from django.db import migrations

NAME, TABLE = "ending_refuses_change", "cover_ending"
REFUSAL = "An ended cover stays ended."
OPENS = "EXISTS (SELECT 1 FROM shop_erasing WHERE purpose = 'person')"
KEPT = ["id", "cover_id", "reason", "at", "who_id"]


def _sqlite(condition: str) -> list[str]:
    return [
        f"DROP TRIGGER {NAME}",
        f"""CREATE TRIGGER {NAME} BEFORE UPDATE ON {TABLE} WHEN {condition}
        BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END""",
    ]


def _postgresql(condition: str) -> list[str]:
    return [
        f"""CREATE OR REPLACE FUNCTION {NAME}() RETURNS trigger LANGUAGE plpgsql AS
        $$ BEGIN IF {condition} THEN RAISE EXCEPTION '{REFUSAL}' USING ERRCODE = 'restrict_violation'; END IF;
        RETURN NEW; END $$"""
    ]


def _put(schema_editor: Any, condition: str) -> None:
    on_sqlite = schema_editor.connection.vendor == "sqlite"
    for statement in (_sqlite if on_sqlite else _postgresql)(condition):
        schema_editor.execute(statement)


def open_window(apps: Any, schema_editor: Any) -> None:
    differs = "IS NOT" if schema_editor.connection.vendor == "sqlite" else "IS DISTINCT FROM"
    kept = " OR ".join(f"OLD.{column} {differs} NEW.{column}" for column in KEPT)
    _put(schema_editor, f"NOT {OPENS} OR {kept}")


def wall_up(apps: Any, schema_editor: Any) -> None:
    _put(schema_editor, "1 = 1")


class Migration(migrations.Migration):
    dependencies = [
        ("cover", "0003_transfers_keep_what_did_not_pass"),
        ("shop", "0004_erasing_window"),
    ]
    operations = [migrations.RunPython(open_window, wall_up)]
