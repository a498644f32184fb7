"""While somebody is erased, the words of a quote that is out may be written over where they name them.

Who answered, the note and the lines' words may change then, and what was agreed as far as its figures stay
the same; never an amount, a number, a date or a state. SQLite forgets these triggers when a later migration
makes one of the two tables anew: such a migration takes them away before and puts them back after.
"""

from importlib import import_module
from typing import Any

from django.db import migrations

_before = import_module("shoprepair.pricing.migrations.0002_quotes_stay_as_sent")

OPENS = "EXISTS (SELECT 1 FROM shop_erasing WHERE purpose = 'person')"
WORDS = {"note", "answered_name", "agreed"}
LINE_WORDS = {"text", "detail"}
FIGURES = """quote amount minutes id position subtotal minimum_added discount net tax total deposit at taken
    discount_percent tax_percent deposit_percent currency""".split()
"""What a JSON value of an agreement says that no erasure touches."""


def figures(column: str, vendor: str) -> str:
    """An expression in SQL: every figure within a JSON column, with its place."""
    if vendor == "sqlite":
        keys = ", ".join(repr(key) for key in FIGURES)
        return (
            f"(SELECT group_concat(fullkey || '=' || ifnull(atom, '')) FROM json_tree({column})"
            f" WHERE key IN ({keys}))"
        )
    paths = (f"""jsonb_path_query_array({column}, 'lax $.**."{key}"')""" for key in FIGURES)
    return f"jsonb_build_array({', '.join(paths)})"


def _kept(columns: list[str], words: set[str], differs: str) -> str:
    return " OR ".join(f"OLD.{column} {differs} NEW.{column}" for column in columns if column not in words)


def _conditions(vendor: str) -> dict[str, str]:
    differs = "IS NOT" if vendor == "sqlite" else "IS DISTINCT FROM"
    columns = [*_before.FIXED, "state", *_before.ANSWER, "version"]
    agreed = f"{figures('OLD.agreed', vendor)} {differs} {figures('NEW.agreed', vendor)}"
    quote = f"{_kept(columns, WORDS, differs)} OR {agreed}"
    line = _kept([*_before.LINE_FIXED, "repair_id"], LINE_WORDS, differs)
    return {"quote_refuses_change": quote, "quote_line_refuses_change": line}


def _now(vendor: str) -> list[tuple[str, str, str, str, str]]:
    """The two triggers that refuse changes, each with the way through while somebody is erased."""
    inner = _conditions(vendor)
    return [
        (name, verb, table, f"({condition}) AND (NOT {OPENS} OR {inner[name]})", refusal)
        for name, verb, table, condition, refusal in _old(vendor)
    ]


def _old(vendor: str) -> list[tuple[str, str, str, str, str]]:
    differs = "IS NOT" if vendor == "sqlite" else "IS DISTINCT FROM"
    return [
        trigger
        for trigger in _before._triggers(differs)
        if trigger[0] in ("quote_refuses_change", "quote_line_refuses_change")
    ]


def _put(schema_editor: Any, triggers: list[tuple[str, str, str, str, str]]) -> None:
    on_sqlite = schema_editor.connection.vendor == "sqlite"
    for name, verb, table, condition, refusal in triggers:
        if on_sqlite:
            schema_editor.execute(f"DROP TRIGGER {name}")
        else:
            schema_editor.execute(f"DROP TRIGGER {name} ON {table}")
            schema_editor.execute(f"DROP FUNCTION {name}()")
        made = (
            [_before._sqlite(name, verb, table, condition, refusal)]
            if on_sqlite
            else _before._postgresql(name, verb, table, condition, refusal)
        )
        for statement in made:
            schema_editor.execute(statement)


def open_window(apps: Any, schema_editor: Any) -> None:
    _put(schema_editor, _now(schema_editor.connection.vendor))


def wall_up(apps: Any, schema_editor: Any) -> None:
    _put(schema_editor, _old(schema_editor.connection.vendor))


class Migration(migrations.Migration):
    dependencies = [("pricing", "0004_weeks_of_quotes"), ("shop", "0004_erasing_window")]
    operations = [migrations.RunPython(open_window, wall_up)]
