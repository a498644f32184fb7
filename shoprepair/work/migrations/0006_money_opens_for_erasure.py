"""While somebody is erased, names may be written over on invoices, payments and hand-backs.

Of an invoice its lines' words may change then, as far as every figure in them stays the same; of a payment
its note; of a hand-back who took the gear, how they were known, their signature and the reasons beside it.
Never an amount, a number or a date, and nothing is deleted. SQLite forgets these triggers when a later
migration makes one of the tables anew: such a migration takes them away before and puts them back after.
"""

from importlib import import_module
from typing import Any

from django.db import migrations

_before = import_module("shoprepair.work.migrations.0003_money_and_hand_backs_stay")

OPENS = "EXISTS (SELECT 1 FROM shop_erasing WHERE purpose = 'person')"
INVOICE = "id number job_id credits_id currency total made_by_id made_at".split()
PAYMENT = "id job_id amount method is_deposit who_id at".split()
HAND_BACK = "id job_id on_paper override_by_id due who_id at taken_back_at".split()
FIGURES = """quote amount damages subtotal minimum_added discount net tax total at credits discount_percent
    tax_percent tax_name warranty months passes_on""".split()
"""What an invoice's lines say that no erasure touches."""


def _figures(column: str, vendor: str) -> str:
    """An expression in SQL: every figure within a JSON column, with its place."""
    if vendor == "sqlite":
        keys = ", ".join(repr(key) for key in FIGURES)
        return (
            f"(SELECT group_concat(fullkey || '=' || ifnull(atom, '')) FROM json_tree({column})"
            f" WHERE key IN ({keys}))"
        )
    paths = (f"""jsonb_path_query_array({column}, 'lax $.**."{key}"')""" for key in FIGURES)
    return f"jsonb_build_array({', '.join(paths)})"


def _differs(columns: list[str], differs: str) -> str:
    return " OR ".join(f"OLD.{column} {differs} NEW.{column}" for column in columns)


def _conditions(vendor: str) -> dict[str, str]:
    differs = "IS NOT" if vendor == "sqlite" else "IS DISTINCT FROM"
    lines = f"{_figures('OLD.lines', vendor)} {differs} {_figures('NEW.lines', vendor)}"
    return {
        "invoice_refuses_change": f"{_differs(INVOICE, differs)} OR {lines}",
        "payment_refuses_change": _differs(PAYMENT, differs),
        "hand_back_refuses_change": _differs(HAND_BACK, differs),
    }


def _old(vendor: str) -> list[tuple[str, str, str, str, str]]:
    found = _before._triggers(vendor == "sqlite")
    return [trigger for trigger in found if trigger[0] in _conditions(vendor)]


def _now(vendor: str) -> list[tuple[str, str, str, str, str]]:
    """The triggers that refuse changes, each with the way through while somebody is erased."""
    inner = _conditions(vendor)
    return [
        (name, verb, table, f"({condition}) AND (NOT {OPENS} OR {inner[name]})", refusal)
        for name, verb, table, condition, refusal in _old(vendor)
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
    dependencies = [("work", "0005_weeks_of_money_and_time"), ("shop", "0004_erasing_window")]
    operations = [migrations.RunPython(open_window, wall_up)]
