"""A name that was typed in place of a drawn signature stays as it was typed, like all else of a hand-back.

The column may be null, because SQLite then adds it without making the table anew, which would lose its
triggers. The trigger that refuses changes is put anew, so that it watches this column too; while somebody is
erased it may be written over, as the signature may.
"""

from importlib import import_module
from typing import Any

from django.db import migrations, models

_window = import_module("shoprepair.work.migrations.0006_money_opens_for_erasure")

Triggers = list[tuple[str, str, str, str, str]]


def _of_hand_backs(vendor: str) -> Triggers:
    return [each for each in _window._now(vendor) if each[0] == "hand_back_refuses_change"]


def _watching(vendor: str) -> Triggers:
    differs = "IS NOT" if vendor == "sqlite" else "IS DISTINCT FROM"
    typed = f"OLD.typed_name {differs} NEW.typed_name AND NOT {_window.OPENS}"
    return [
        (name, verb, table, f"({condition}) OR ({typed})", refusal)
        for name, verb, table, condition, refusal in _of_hand_backs(vendor)
    ]


def watch(_apps: Any, schema_editor: Any) -> None:
    _window._put(schema_editor, _watching(schema_editor.connection.vendor))


def look_away(_apps: Any, schema_editor: Any) -> None:
    _window._put(schema_editor, _of_hand_backs(schema_editor.connection.vendor))


class Migration(migrations.Migration):
    dependencies = [("work", "0009_steps_say_what_they_do"), ("shop", "0004_erasing_window")]
    operations = [
        migrations.AddField(
            model_name="handback",
            name="typed_name",
            field=models.CharField(
                blank=True,
                help_text="Typed by the taker in place of a drawn signature.",
                max_length=120,
                null=True,
            ),
        ),
        migrations.RunPython(watch, look_away),
    ]
