"""What the English words of a catalogue's steps told the program until now, they say by codes and a sign.

A caution was told apart by its words; from now on it stands behind the sign ⚠.
"""

import re
from collections.abc import Sequence
from typing import Any

from django.db import migrations

_CLAUSE = re.compile(r"([;:,]\s+)")
_BEWARE = re.compile(
    r"\b(never|free hand behind|fingers beside|window open|no flame|gloves on|goggles on|ears protected"
    r"|no heat|fumes|can burst|needle through it)\b",
    re.IGNORECASE,
)
_ONLY_A_CAUTION = re.compile(r"(never|caution|beware|do not|don't)\b", re.IGNORECASE)
_BONDS = re.compile(r"\b(adhesive|glue|bond|stick|press)", re.IGNORECASE)
_WAITS = re.compile(r"leave it\b", re.IGNORECASE)
_HANGS = re.compile(r"\bhang it in\b", re.IGNORECASE)


def say_what_they_do(apps: Any, _schema_editor: Any) -> None:
    """By the rules that read the words until now, once for every operation without codes."""
    for operation in apps.get_model("pricing", "Operation").objects.all():
        if operation.step_codes or not operation.steps:
            continue
        steps = [_signed(line) for line in operation.steps]
        codes = [_code(line) for line in steps]
        if operation.drying_hours:
            at = _dries(steps)
            codes[at] = f"{codes[at]} dry".strip()
        operation.steps, operation.step_codes = steps, codes if any(codes) else []
        operation.save(update_fields=["steps", "step_codes"])


def _signed(line: str) -> str:
    if _ONLY_A_CAUTION.match(line.strip()):
        return f"⚠ {line.strip()}"
    first, *rest = _CLAUSE.split(line.strip().rstrip("."))
    do, beware = first, ""
    for mark, clause in zip(rest[::2], rest[1::2], strict=True):
        if _BEWARE.search(clause):
            beware += f"{mark if beware else ''}{clause}"
        else:
            do += f"{mark}{clause}"
    return f"{_sentence(do)} ⚠ {_sentence(beware)}" if beware else line


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."


def _code(line: str) -> str:
    words = line.partition("⚠")[0].strip().casefold()
    if words.startswith("draw the bladder well clear"):
        return "clear"
    if words.startswith(("sew", "close")):
        return "sew"
    if "hot knife" in words:
        return "knife"
    return "glue" if "spread the adhesive" in words or words.startswith("glue") else ""


def _dries(steps: Sequence[str]) -> int:
    said = [line.partition("⚠")[0].strip() for line in steps]
    bonds = [at for at, line in enumerate(said) if _BONDS.search(line) and not _WAITS.match(line)]
    hangs = [at for at, line in enumerate(said) if _HANGS.search(line)]
    return (hangs or bonds or [len(said) - 1])[-1]


class Migration(migrations.Migration):
    dependencies = [("pricing", "0006_operation_step_codes")]

    operations = [migrations.RunPython(say_what_they_do, migrations.RunPython.noop)]
