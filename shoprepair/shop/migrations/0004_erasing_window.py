"""A window in the append-only tables: open only while a row in shop_erasing says so, in one transaction.

While somebody is erased the journal's words may be written over; when, about what, by whom of the staff and
the verb stay. While an archive is brought in, the few entries of a shop that has numbered nothing yet may go.
"""

from typing import Any

import django.core.validators
from django.db import migrations, models

TABLE = "shop_journalentry"
REFUSAL = "The journal is append-only."
KEPT = "id subject at who_id verb".split()

PERSON = "EXISTS (SELECT 1 FROM shop_erasing WHERE purpose = 'person')"
ARCHIVE = "EXISTS (SELECT 1 FROM shop_erasing WHERE purpose = 'archive')"
NUMBERED = "EXISTS (SELECT 1 FROM shop_counter)"

BEFORE = {
    "sqlite": [
        f"""CREATE TRIGGER journal_refuses_{verb.lower()} BEFORE {verb} ON {TABLE}
        BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END"""
        for verb in ("UPDATE", "DELETE")
    ],
    "postgresql": [
        f"""CREATE FUNCTION journal_refuses() RETURNS trigger LANGUAGE plpgsql AS
        $$ BEGIN RAISE EXCEPTION '{REFUSAL}' USING ERRCODE = 'restrict_violation'; END $$""",
        f"""CREATE TRIGGER journal_refuses_changes BEFORE UPDATE OR DELETE ON {TABLE}
        FOR EACH ROW EXECUTE FUNCTION journal_refuses()""",
    ],
}
BEFORE_AWAY = {
    "sqlite": ["DROP TRIGGER journal_refuses_update", "DROP TRIGGER journal_refuses_delete"],
    "postgresql": [f"DROP TRIGGER journal_refuses_changes ON {TABLE}", "DROP FUNCTION journal_refuses()"],
}


def _differs(differs: str) -> str:
    return " OR ".join(f"OLD.{column} {differs} NEW.{column}" for column in KEPT)


def _conditions(differs: str) -> dict[str, str]:
    """When a change and when a deletion is refused, as conditions in SQL."""
    return {
        "UPDATE": f"NOT {PERSON} OR {_differs(differs)}",
        "DELETE": f"NOT {ARCHIVE} OR {NUMBERED}",
    }


NOW = {
    "sqlite": [
        f"""CREATE TRIGGER journal_refuses_{verb.lower()} BEFORE {verb} ON {TABLE} WHEN {condition}
        BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END"""
        for verb, condition in _conditions("IS NOT").items()
    ],
    "postgresql": [
        statement
        for verb, condition in _conditions("IS DISTINCT FROM").items()
        for statement in (
            f"""CREATE FUNCTION journal_refuses_{verb.lower()}() RETURNS trigger LANGUAGE plpgsql AS
            $$ BEGIN IF {condition} THEN
            RAISE EXCEPTION '{REFUSAL}' USING ERRCODE = 'restrict_violation'; END IF;
            RETURN {"OLD" if verb == "DELETE" else "NEW"}; END $$""",
            f"""CREATE TRIGGER journal_refuses_{verb.lower()} BEFORE {verb} ON {TABLE}
            FOR EACH ROW EXECUTE FUNCTION journal_refuses_{verb.lower()}()""",
        )
    ],
}
NOW_AWAY = {
    "sqlite": BEFORE_AWAY["sqlite"],
    "postgresql": [
        statement
        for verb in ("update", "delete")
        for statement in (
            f"DROP TRIGGER journal_refuses_{verb} ON {TABLE}",
            f"DROP FUNCTION journal_refuses_{verb}()",
        )
    ],
}


def open_window(apps: Any, schema_editor: Any) -> None:
    vendor = schema_editor.connection.vendor
    for statement in [*BEFORE_AWAY[vendor], *NOW[vendor]]:
        schema_editor.execute(statement)


def wall_up(apps: Any, schema_editor: Any) -> None:
    vendor = schema_editor.connection.vendor
    for statement in [*NOW_AWAY[vendor], *BEFORE[vendor]]:
        schema_editor.execute(statement)


class Migration(migrations.Migration):
    dependencies = [("shop", "0003_outbox")]
    operations = [
        migrations.CreateModel(
            name="Erasing",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "purpose",
                    models.CharField(
                        choices=[
                            ("person", "Somebody is erased"),
                            ("archive", "An archive is brought in"),
                        ],
                        max_length=7,
                    ),
                ),
            ],
            options={"db_table": "shop_erasing"},
        ),
        migrations.AddField(
            model_name="shop",
            name="invoice_years",
            field=models.PositiveSmallIntegerField(
                default=10,
                help_text="Years that invoices keep the customer's name, as the law asks.",
                validators=[
                    django.core.validators.MinValueValidator(0),
                    django.core.validators.MaxValueValidator(50),
                ],
            ),
        ),
        migrations.RunPython(open_window, wall_up),
    ]
