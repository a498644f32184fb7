"""The table of attacks and faults in DEVELOPERS.md is complete, and each test that it names is there."""

import re
from pathlib import Path

from django.conf import settings

TABLE = Path(settings.BASE_DIR, "DEVELOPERS.md").read_text()
TESTS = Path(settings.BASE_DIR, "tests")
ROW = re.compile(r"^\| ([AF]\d+) \| ([^|]+) \| ([^|]*)\| ([^|]*)\|$", re.MULTILINE)
NAMED = re.compile(r"`([\w/]+\.py)::(test_\w+)`")
ALL = [f"A{number}" for number in range(1, 81)] + [f"F{number}" for number in range(1, 41)]
LEAST = {"A": 60, "F": 30}


def test_every_attack_and_every_fault_has_one_line():
    assert [row[0] for row in ROW.findall(TABLE)] == ALL


def test_every_line_names_a_test_or_says_why_there_is_none():
    for case, what, shown, rest in ROW.findall(TABLE):
        assert what.strip(), case
        assert NAMED.search(shown) or rest.startswith(("open: ", "does not apply: ")), case
        assert not rest.strip() or rest.startswith(("open: ", "does not apply")), case
        assert NAMED.sub("", shown).strip(" ,") == "", case


def test_every_test_that_is_named_is_there():
    missing = [
        (case, name)
        for case, _, shown, _ in ROW.findall(TABLE)
        for file, name in NAMED.findall(shown)
        if not re.search(rf"^(async )?def {name}\(", read(file), re.MULTILINE)
    ]
    assert not missing


def test_what_the_table_counts_is_what_it_holds():
    shown = {case for case, _, tests, _ in ROW.findall(TABLE) if NAMED.search(tests)}
    for kind, least in LEAST.items():
        many = sum(case.startswith(kind) for case in shown)
        assert many >= least
        assert re.search(rf"\b{many} of the {'attacks' if kind == 'A' else 'faults'}\b", TABLE), many


def read(file: str) -> str:
    path = TESTS / file
    return path.read_text() if path.exists() else ""
