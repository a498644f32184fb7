"""Invoices and payments stay as they were written: the database itself refuses to change or delete them.

An invoice is taken back by a credit, a payment by another one. Of a hand-back only the moment at which it was
taken back may still be written, once. SQLite forgets these triggers when a later migration makes one of the
tables anew: such a migration takes them away before and puts them back after.
"""

from typing import Any

from django.db import migrations, models

INVOICE = "An invoice is never changed. Take it back by a credit."
PAYMENT = "A payment is never changed. Write down another one."
HAND_BACK = "A hand-back stays as it was signed."

SIGNED = """id job_id taker_name known_by signature on_paper open_points override_by_id override_reason due who_id
    at""".split()


def _sqlite(name: str, verb: str, table: str, condition: str, refusal: str) -> str:
    return f"""CREATE TRIGGER {name} BEFORE {verb} ON {table} WHEN {condition}
        BEGIN SELECT RAISE(ABORT, '{refusal}'); END"""


def _postgresql(name: str, verb: str, table: str, condition: str, refusal: str) -> list[str]:
    kept = "OLD" if verb == "DELETE" else "NEW"
    return [
        f"""CREATE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS
        $$ BEGIN IF {condition} THEN RAISE EXCEPTION '{refusal}' USING ERRCODE = 'restrict_violation'; END IF;
        RETURN {kept}; END $$""",
        f"CREATE TRIGGER {name} BEFORE {verb} ON {table} FOR EACH ROW EXECUTE FUNCTION {name}()",
    ]


def _text(column: str, on_sqlite: bool) -> tuple[str, str]:
    """A column before and after; PostgreSQL compares JSON as text."""
    cast = "" if on_sqlite else "::text"
    return f"OLD.{column}{cast}", f"NEW.{column}{cast}"


def _triggers(on_sqlite: bool) -> list[tuple[str, str, str, str, str]]:
    differs = "IS NOT" if on_sqlite else "IS DISTINCT FROM"
    pairs = (_text(column, on_sqlite) for column in SIGNED)
    signed = " OR ".join(f"{before} {differs} {after}" for before, after in pairs)
    again = "OLD.taken_back_at IS NOT NULL"
    return [
        ("invoice_refuses_change", "UPDATE", "work_invoice", "1 = 1", INVOICE),
        ("invoice_refuses_deletion", "DELETE", "work_invoice", "1 = 1", INVOICE),
        ("invoice_quotes_refuse_change", "UPDATE", "work_invoice_quotes", "1 = 1", INVOICE),
        ("invoice_quotes_refuse_deletion", "DELETE", "work_invoice_quotes", "1 = 1", INVOICE),
        ("payment_refuses_change", "UPDATE", "work_payment", "1 = 1", PAYMENT),
        ("payment_refuses_deletion", "DELETE", "work_payment", "1 = 1", PAYMENT),
        ("hand_back_refuses_change", "UPDATE", "work_handback", f"{again} OR {signed}", HAND_BACK),
        ("hand_back_refuses_deletion", "DELETE", "work_handback", "1 = 1", HAND_BACK),
    ]


def refuse(apps: Any, schema_editor: Any) -> None:
    on_sqlite = schema_editor.connection.vendor == "sqlite"
    for trigger in _triggers(on_sqlite):
        for statement in [_sqlite(*trigger)] if on_sqlite else _postgresql(*trigger):
            schema_editor.execute(statement)


def allow(apps: Any, schema_editor: Any) -> None:
    on_sqlite = schema_editor.connection.vendor == "sqlite"
    for name, _, table, *_ in _triggers(on_sqlite):
        if on_sqlite:
            schema_editor.execute(f"DROP TRIGGER {name}")
        else:
            schema_editor.execute(f"DROP TRIGGER {name} ON {table}")
            schema_editor.execute(f"DROP FUNCTION {name}()")


class Migration(migrations.Migration):
    dependencies = [("work", "0002_uses_put_back_and_counts")]
    operations = [
        migrations.AddField(
            model_name="handback",
            name="on_paper",
            field=models.BooleanField(default=False, help_text="Signed on the printed sheet instead."),
        ),
        migrations.RunPython(refuse, allow),
    ]
