"""A quote that is out stays as it was sent: the database itself refuses to change it or its lines.

Of the quote only the answer may still be written, once, and only along the ways that a quote goes. Of its
lines nothing changes but the pointer to the repair behind one, which may go when the repair is dropped.
SQLite forgets these triggers when a later migration makes one of the two tables anew: such a migration
takes them away before and puts them back after.
"""

from typing import Any

from django.db import migrations

QUOTE = "This quote is out; it can no longer be changed. Write a new version."
LINES = "This quote is out; its lines can no longer be changed. Write a new version."

FIXED = """id job_id number addition_to_id currency tax_name tax_percent rounding minimum_charge discount_percent
    deposit_percent deposit_from warranty valid_until note terms worth sent_at""".split()
ANSWER = "answered_at answered_name agreed".split()
WAYS = {
    "out": ("out", "accepted", "declined", "replaced", "withdrawn"),
    "accepted": ("accepted", "replaced"),
    "declined": ("declined", "replaced"),
    "replaced": ("replaced",),
    "withdrawn": ("withdrawn",),
}
LINE_FIXED = """id quote_id position kind text detail operation_code damages minutes cost amount optional choice taken
    by_hand""".split()


def _differs(columns: list[str], differs: str) -> str:
    return " OR ".join(f"OLD.{column} {differs} NEW.{column}" for column in columns)


def _quote_spoiled(differs: str) -> str:
    """What a change to a quote that is out must not do, as a condition in SQL."""
    ways = " OR ".join(
        f"(OLD.state = '{start}' AND NEW.state IN ({', '.join(repr(to) for to in ends)}))"
        for start, ends in WAYS.items()
    )
    answering = "OLD.state = 'out' AND NEW.state IN ('accepted', 'declined')"
    answered_again = f"NOT ({answering}) AND ({_differs(ANSWER, differs)})"
    return f"{_differs(FIXED, differs)} OR ({answered_again}) OR NOT ({ways})"


def _line_spoiled(differs: str) -> str:
    moved = f"OLD.repair_id {differs} NEW.repair_id AND NEW.repair_id IS NOT NULL"
    return f"{_differs(LINE_FIXED, differs)} OR ({moved})"


def _sent(row: str) -> str:
    return f"(SELECT state FROM pricing_quote WHERE id = {row}.quote_id) <> 'draft'"


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


def _triggers(differs: str) -> list[tuple[str, str, str, str, str]]:
    quote, line, sent = "pricing_quote", "pricing_quoteline", "OLD.state <> 'draft'"
    skipped = "OLD.state = 'draft' AND NEW.state NOT IN ('draft', 'out')"
    return [
        ("quote_refuses_change", "UPDATE", quote, f"{sent} AND ({_quote_spoiled(differs)})", QUOTE),
        ("quote_refuses_skipping", "UPDATE", quote, skipped, QUOTE),
        ("quote_refuses_deletion", "DELETE", quote, sent, QUOTE),
        ("quote_line_refuses_addition", "INSERT", line, _sent("NEW"), LINES),
        ("quote_line_refuses_deletion", "DELETE", line, _sent("OLD"), LINES),
        (
            "quote_line_refuses_change",
            "UPDATE",
            line,
            f"({_sent('OLD')} OR {_sent('NEW')}) AND ({_line_spoiled(differs)})",
            LINES,
        ),
    ]


def refuse(apps: Any, schema_editor: Any) -> None:
    on_sqlite = schema_editor.connection.vendor == "sqlite"
    for trigger in _triggers("IS NOT" if on_sqlite else "IS DISTINCT FROM"):
        for statement in [_sqlite(*trigger)] if on_sqlite else _postgresql(*trigger):
            schema_editor.execute(statement)


def allow(apps: Any, schema_editor: Any) -> None:
    for name, _, table, *_ in _triggers("IS NOT"):
        if schema_editor.connection.vendor == "sqlite":
            schema_editor.execute(f"DROP TRIGGER {name}")
        else:
            schema_editor.execute(f"DROP TRIGGER {name} ON {table}")
            schema_editor.execute(f"DROP FUNCTION {name}()")


class Migration(migrations.Migration):
    dependencies = [("pricing", "0001_initial")]
    operations = [migrations.RunPython(refuse, allow)]
