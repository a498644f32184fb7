"""Every part measured in a process of its own, one table of all, kept beside."""

import json
import os
import platform
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

from tests.measure.said import Said

PARTS = ("pages", "reckoning", "judging", "papers", "weight", "touch", "starting", "crowded")
"""In this order; each is `python -m tests.measure.part PART` and says a line of JSON a figure."""
WHERE_IT_IS = "lighthouse"
"""Asked for by name alone: its program is no part of what this project installs."""
_HEAD = "| what | measured | target | |\n|---|---|---|---|"


def main(wanted: Sequence[str]) -> int:
    """Measure the parts that are wanted, or all; 1 where one broke off (not where a target is missed)."""
    parts = [part for part in (*PARTS, WHERE_IT_IS) if part in wanted] if wanted else list(PARTS)
    told = {part: list(_measure(part)) for part in parts}
    for part, lines in told.items():
        print(f"\n{part}\n{_HEAD}")
        print("\n".join(said.row() for said in lines))
    told.pop(WHERE_IT_IS, None)
    if told:
        _table().write_text(_page(told), encoding="utf-8")
    return 0 if all(told.values()) else 1


def _on_a_server() -> bool:
    return os.environ.get("DATABASE_URL", "").startswith("postgres")


def _table() -> Path:
    return Path(__file__).with_name("measured-postgres.md" if _on_a_server() else "measured.md")


def _measure(part: str) -> Iterator[Said]:
    process = subprocess.Popen(
        [sys.executable, "-m", "tests.measure.part", part], stdout=subprocess.PIPE, text=True
    )
    assert process.stdout
    for line in process.stdout:
        if not line.startswith("{"):
            print(line, end="", flush=True)
            continue
        told = json.loads(line)
        told.pop("ok")
        yield (said := Said(**told))
        print("." if said.ok else f"\n{said.row()}", end="", flush=True)
    if process.wait():
        print(f"\n{part} broke off.", flush=True)


def _page(told: dict[str, list[Said]]) -> str:
    """The table with these parts anew, and every other part as it was measured last."""
    today = time.strftime("%d %B %Y")
    parts = _kept() | {
        part: f"Measured on {today}.\n\n{_HEAD}\n" + "\n".join(each.row() for each in lines) + "\n"
        for part, lines in told.items()
    }
    rows = [row for text in parts.values() for row in text.splitlines() if row.startswith("|")]
    count = len(rows) - 2 * len(parts)
    met = count - sum("**not met**" in row for row in rows)
    database = "PostgreSQL" if _on_a_server() else "SQLite"
    head = (
        f"# What was measured\n\n`make measure` wrote this: {met} of {count} targets met, on "
        f"{os.cpu_count()} cores, Python {platform.python_version()}, {database}. "
        "Counts are exact; ratios are of the shortest times, taken in turn in one process.\n"
    )
    return head + "".join(f"\n## {part.capitalize()}\n{parts[part]}" for part in PARTS if part in parts)


def _kept() -> dict[str, str]:
    """Each part as the table has it."""
    table = _table()
    if not table.exists():
        return {}
    _head, *sections = table.read_text(encoding="utf-8").split("\n## ")
    return {
        name.lower(): text.rstrip() + "\n" for name, _, text in (each.partition("\n") for each in sections)
    }
