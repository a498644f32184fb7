"""The house keeps its order: who may import whom, what lies where, what never stands in a page."""

import ast
import re
import sys
from pathlib import Path

import pytest
from django.core.management import call_command

ROOT = Path(__file__).resolve().parent.parent

# From the bottom up. Packages of one floor do not import one another.
FLOORS = [
    {"mechanics"},
    {"shop"},
    {"gear"},
    {"jobs"},
    {"pricing"},
    {"work"},
    {"cover"},
    {"papers"},
    {"counter", "bench", "office", "portal", "health"},
]
FLOOR_OF = {package: floor for floor, packages in enumerate(FLOORS) for package in packages}

TOP_LEVEL = {
    ".ci",
    ".editorconfig",
    ".gitignore",
    "DEVELOPERS.md",
    "LICENSE",
    "Makefile",
    "README.md",
    "fixtures",
    "manage.py",
    "pyproject.toml",
    "requirements-parts.lock",
    "requirements-test.lock",
    "requirements.lock",
    "shoprepair",
    "static",
    "templates",
    "tests",
}

INLINE = {
    "a style attribute": re.compile(r"""<[a-z][^>]*\sstyle\s*=""", re.IGNORECASE),
    "a style element": re.compile(r"<style\b", re.IGNORECASE),
    "a script in the page": re.compile(r"<script\b(?![^>]*\bsrc=)", re.IGNORECASE),
    "an event handler": re.compile(r"""<[a-z][^>]*\son[a-z]+\s*=(?!=)""", re.IGNORECASE),
    "a javascript address": re.compile(r"""["']javascript:""", re.IGNORECASE),
    "hx-on, which needs eval": re.compile(r"""\s(?:data-)?hx-on\b"""),
}

MACHINE_PATH = re.compile(r"(?<![\w.])/(?:root|work|home|Users)/\w")


def source_files(folder="shoprepair"):
    return [path for path in sorted((ROOT / folder).rglob("*.py")) if "migrations" not in path.parts]


def imported_modules(path):
    """Yield (line, dotted name) of all that a module imports, wherever the import stands."""
    package = ".".join(path.relative_to(ROOT).with_suffix("").parts[:-1])
    for node in ast.walk(ast.parse(path.read_text(), str(path))):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield node.lineno, alias.name
        elif isinstance(node, ast.ImportFrom):
            above = (
                ".".join(package.split(".")[: len(package.split(".")) - node.level + 1]) if node.level else ""
            )
            module = ".".join(filter(None, [above, node.module]))
            yield node.lineno, module
            for alias in node.names:
                yield node.lineno, f"{module}.{alias.name}"


def package_of(dotted):
    parts = dotted.split(".")
    return parts[1] if parts[0] == "shoprepair" and len(parts) > 1 and parts[1] in FLOOR_OF else None


def upward_imports(path):
    here = path.relative_to(ROOT / "shoprepair").parts[0]
    for line, name in imported_modules(path):
        there = package_of(name)
        if there and there != here and FLOOR_OF[there] >= FLOOR_OF[here]:
            yield f"{path.relative_to(ROOT)}:{line}: {here} imports {there} ({name})"


def test_everything_imports_downwards_only():
    inside = [path for path in source_files() if path.parent != ROOT / "shoprepair"]

    assert [finding for path in inside for finding in upward_imports(path)] == []


def test_every_package_has_its_floor():
    packages = {path.parent.name for path in (ROOT / "shoprepair").glob("*/__init__.py")}

    assert packages <= set(FLOOR_OF)


def test_the_direction_is_held_for_relative_and_late_imports_too(tmp_path, monkeypatch):
    module = tmp_path / "shoprepair" / "gear" / "sneaky.py"
    module.parent.mkdir(parents=True)
    module.write_text("from ..shop import units\n\ndef later():\n    from .. import jobs\n")
    monkeypatch.setitem(globals(), "ROOT", tmp_path)

    assert list(upward_imports(module)) == [
        "shoprepair/gear/sneaky.py:4: gear imports jobs (shoprepair.jobs)"
    ]


def is_number_work(name):
    return (
        name.split(".")[0] in sys.stdlib_module_names
        or package_of(name) == "mechanics"
        or name == "shoprepair"
    )


def test_mechanics_knows_nothing_but_numbers():
    imports = [
        (path, *found) for path in source_files("shoprepair/mechanics") for found in imported_modules(path)
    ]

    assert [f"{path.name}:{line}: {name}" for path, line, name in imports if not is_number_work(name)] == []


def ignored(path):
    patterns = (ROOT / ".gitignore").read_text().split()
    return path.name == ".git" or any(path.match(pattern.rstrip("/")) for pattern in patterns)


def test_the_top_level_holds_only_what_belongs_there():
    assert {path.name for path in ROOT.iterdir() if not ignored(path)} <= TOP_LEVEL


def findings_in(path, patterns):
    text = path.read_text()
    for what, pattern in patterns.items():
        for match in pattern.finditer(text):
            yield f"{path.relative_to(ROOT)}:{text.count(chr(10), 0, match.start()) + 1}: {what}"


def test_no_page_carries_style_or_script_inside():
    pages = [*(ROOT / "templates").rglob("*.*"), *source_files()]

    assert [finding for path in pages for finding in findings_in(path, INLINE)] == []


@pytest.mark.parametrize(
    "page",
    ['<p style="color: red">', "<STYLE>", "<script>", "<a\n onclick='go()'>", '<a href="javascript:go()">'],
)
def test_what_the_policy_would_block_is_recognised(page):
    assert any(pattern.search(page) for pattern in INLINE.values())


def test_an_own_script_file_may_be_named():
    page = '<script src="{% static \'js/pin.js\' %}" defer></script><link rel="stylesheet" href="x.css">'

    assert not any(pattern.search(page) for pattern in INLINE.values())


def test_no_file_names_a_place_on_somebodys_machine():
    folders = ["shoprepair", "templates", "static", "tests", "fixtures", ".ci"]
    written = [path for folder in folders for path in (ROOT / folder).rglob("*") if path.is_file()]
    written += [path for path in ROOT.iterdir() if path.is_file() and not ignored(path)]
    text = [
        path
        for path in written
        if path.suffix not in {".woff2", ".png", ".pyc", ".lock", ".jpg", ".ico", ".mo"}
    ]

    assert [f for path in text for f in findings_in(path, {"a machine's own path": MACHINE_PATH})] == []


@pytest.mark.django_db
def test_the_migrations_say_what_the_models_say():
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)
