"""The journal can only grow: the database itself refuses to change or delete an entry."""

from typing import Any

from django.db import migrations

TABLE = "shop_journalentry"
REFUSAL = "The journal is append-only."

SQLITE = [
    f"""CREATE TRIGGER journal_refuses_{verb.lower()} BEFORE {verb} ON {TABLE}
        BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END"""
    for verb in ("UPDATE", "DELETE")
]
POSTGRESQL = [
    f"""CREATE FUNCTION journal_refuses() RETURNS trigger LANGUAGE plpgsql AS
        $$ BEGIN RAISE EXCEPTION '{REFUSAL}' USING ERRCODE = 'restrict_violation'; END $$""",
    f"""CREATE TRIGGER journal_refuses_changes BEFORE UPDATE OR DELETE ON {TABLE}
        FOR EACH ROW EXECUTE FUNCTION journal_refuses()""",
]
AWAY = {
    "sqlite": ["DROP TRIGGER journal_refuses_update", "DROP TRIGGER journal_refuses_delete"],
    "postgresql": [f"DROP TRIGGER journal_refuses_changes ON {TABLE}", "DROP FUNCTION journal_refuses()"],
}


def refuse(apps: Any, schema_editor: Any) -> None:
    for statement in {"sqlite": SQLITE, "postgresql": POSTGRESQL}[schema_editor.connection.vendor]:
        schema_editor.execute(statement)


def allow(apps: Any, schema_editor: Any) -> None:
    for statement in AWAY[schema_editor.connection.vendor]:
        schema_editor.execute(statement)


class Migration(migrations.Migration):
    dependencies = [("shop", "0001_initial")]
    operations = [migrations.RunPython(refuse, allow)]
