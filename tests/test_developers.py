"""What DEVELOPERS.md and README.md name is there: files, commands, addresses, settings, names in the code."""

import fnmatch
import importlib
import importlib.util
import re
import tomllib
from collections.abc import Iterator
from itertools import chain
from pathlib import Path

import pytest
from django.core.management import get_commands, load_command_class
from django.urls import Resolver404, resolve

from tests.test_tree import FLOORS, ROOT

PAGES = {name: (ROOT / name).read_text() for name in ("DEVELOPERS.md", "README.md")}
ENDINGS = "css html js json lock md po py toml".split()  # noqa: SIM905 - reads better than a column of quotes
FILE = re.compile(rf"[\w./*()-]*\.(?:{'|'.join(ENDINGS)})|[\w./-]+/")
EVERYWHERE = [path for path in (ROOT / "shoprepair").rglob("*") if "__pycache__" not in path.parts]
HOLDS_FILES = [ROOT, ROOT / "shoprepair", ROOT / "tests"]
INSIDE = {"files-waiting/", "var/", "var/papers/", "var/secret_key"}
"""Of the shop's data, which is not there before a shop is."""

pages = pytest.mark.parametrize("told", PAGES.values(), ids=PAGES)


def code(text: str) -> list[str]:
    """What stands between backticks, commands in blocks included."""
    blocks = re.findall(r"^```\n(.*?)^```", text, re.MULTILINE | re.DOTALL)
    lines = [line.split("#")[0].split("  ")[0].strip() for block in blocks for line in block.splitlines()]
    return [*re.findall(r"(?<!`)`([^`\n]+)`(?!`)", text), *filter(None, lines)]


def passages(text: str) -> Iterator[list[str]]:
    """The code of one paragraph or cell after the other: there a file may stand without its folder."""
    without = re.sub(r"^```\n.*?^```", "", text, flags=re.MULTILINE | re.DOTALL)
    for paragraph in re.split(r"\n(?=\n|[|-] |\d\. )", without):
        for cell in paragraph.split(" | ") if paragraph.startswith("|") else [paragraph]:
            yield re.findall(r"`([^`]+)`", cell)


def missing_files(text: str) -> list[str]:
    linked = [name for name in re.findall(r"\]\(([^)#:]+)\)", text) if not (ROOT / name).exists()]
    return [*chain.from_iterable(map(_missing_of, passages(text))), *linked]


def _missing_of(spans: list[str]) -> Iterator[str]:
    folders: list[Path] = []
    for span in spans:
        named = span.partition("::")[0]
        if not FILE.fullmatch(named) or named.startswith("/") or named in INSIDE:
            continue
        found = _found(named, folders)
        if not found:
            yield named
        folders = [path if path.is_dir() else path.parent for path in found] + folders


def _found(named: str, folders: list[Path]) -> list[Path]:
    """Where a file may lie: as it is written, or beside what was named before it.

    The first of a passage may go by its own name: "`personal.py` of each package".
    """
    beside = [*folders, *(folder.parent for folder in folders)]
    for folder in (*HOLDS_FILES, *beside):
        if found := [path for path in folder.glob(named.rstrip("/")) if path.exists()]:
            return found
    return [] if folders else [path for path in EVERYWHERE if fnmatch.fnmatch(path.name, named)]


@pages
def test_every_file_that_is_named_is_there(told):
    assert missing_files(told) == []


def test_a_file_that_is_gone_is_found_out():
    row, line = "| which? | `work/gone.py`, `promise.py`, `also_gone.py` |", "A line with `nowhere/` in it."
    telling = f"{row}\n{line}\n\n![x](no.png)\n"

    assert missing_files(telling) == ["work/gone.py", "also_gone.py", "nowhere/", "no.png"]


@pages
def test_every_target_of_make_that_is_named_is_there(told):
    targets = set(re.findall(r"^([\w-]+):", (ROOT / "Makefile").read_text(), re.MULTILINE))
    named = {target for span in code(told) for target in re.findall(r"\bmake ([a-z][\w-]*)", span)}

    assert named - targets == set()


def test_every_target_of_make_is_told_to_whoever_works_here():
    named = {
        target for span in code(PAGES["DEVELOPERS.md"]) for target in re.findall(r"\bmake ([\w-]+)", span)
    }
    phony = re.search(r"^\.PHONY: (.*)$", (ROOT / "Makefile").read_text(), re.MULTILINE)
    parts_of_others = {"unit", "browser", "ready", "ready-test", "apart"}

    assert set(phony[1].split()) - named - parts_of_others == set()


@pages
def test_every_command_of_the_shop_that_is_named_is_there_with_what_it_is_given(told):
    commands = get_commands()
    for span in code(told):
        for name, rest in re.findall(r"manage\.py ([a-z]\w*)([^`]*)", span):
            assert name in commands, span
            parser = load_command_class(commands[name], name).create_parser("manage.py", name)
            options = {option for action in parser._actions for option in action.option_strings}
            assert set(re.findall(r"--[\w-]+", rest)) <= options, span


@pages
def test_every_program_of_the_tests_that_is_named_is_there(told):
    for span in code(told):
        for name in re.findall(r"python -m (tests[\w.]*)", span):
            assert importlib.util.find_spec(name), span
        for path in re.findall(r"(?<![\w/])tests/[\w/.-]+", span):
            assert (ROOT / path).exists(), span


@pages
def test_every_name_of_the_code_that_is_named_is_there(told):
    packages = set().union(*FLOORS)
    for span in code(told):
        if FILE.fullmatch(span):
            continue
        if re.fullmatch(r"[a-z_]+(\.\w+)+(\(\))?", span) and span.split(".")[0] in packages:
            assert _is_there(f"shoprepair.{span.removesuffix('()')}"), span


def _is_there(dotted: str) -> bool:
    parts = dotted.split(".")
    for cut in range(len(parts), 0, -1):
        try:
            thing = importlib.import_module(".".join(parts[:cut]))
        except ModuleNotFoundError:
            continue
        for part in parts[cut:]:
            if not hasattr(thing, part):
                return False
            thing = getattr(thing, part)
        return True
    return False


@pages
def test_every_address_that_is_named_leads_somewhere(told):
    for address in {span for span in code(told) if re.fullmatch(r"/[\w/…-]+(/|\.pdf)", span)}:
        try:
            resolve(address.replace("…", "1"))
        except Resolver404:
            pytest.fail(f"{address} leads nowhere")


@pages
def test_every_setting_that_is_named_is_read_somewhere(told):
    read = [*(ROOT / "shoprepair").rglob("*.py"), *(ROOT / "tests").rglob("*.py"), ROOT / "Makefile"]
    known = "\n".join(path.read_text() for path in read if path != Path(__file__))
    for name in set(re.findall(r"\bSHOPREPAIR_[A-Z_]+|\b[A-Z]+_URL\b", told)):
        assert name in known, name


def test_the_house_is_told_as_it_stands():
    house = PAGES["DEVELOPERS.md"].partition("## The house")[2]
    tree = re.search(r"^```\n(.*?)^```", house, re.MULTILINE | re.DOTALL)
    told = re.findall(r"\b([a-z]+)/", tree[1])
    direction = "surfaces → " + " → ".join(sorted(floor)[0] for floor in FLOORS[-2::-1] if len(floor) == 1)

    assert sorted(told) == sorted(set().union(*FLOORS))
    assert f"Everything imports downwards only: {direction}." in house


def test_every_package_that_the_shop_needs_says_why():
    needed = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    extras = needed["optional-dependencies"]
    wanted = [*needed["dependencies"], *extras["postgres"], *extras["s3"]]
    names = [re.match(r"[\w-]+", each)[0].lower() for each in wanted]
    told = PAGES["DEVELOPERS.md"].partition("## Why each dependency")[2].partition("\n## ")[0].lower()

    assert [name for name in names if name not in told] == []


def test_every_claim_of_the_readme_has_a_command_beside_it():
    claims = PAGES["README.md"].partition("## What it does\n")[2].partition("\n## ")[0]
    bare = [
        claim.split("**")[1]
        for claim in re.split(r"\n(?=- \*\*)", claims)
        if claim.strip() and not re.search(r"`(SHOPREPAIR_\w+=\S+ )?(\.venv/bin/|make |manage\.py )", claim)
    ]

    assert bare == []


def test_what_was_measured_is_told_as_it_was_measured():
    measured = (ROOT / "tests" / "measure" / "measured.md").read_text()
    told = re.search(r"\d+ of \d+ targets met", measured)[0]
    pages = re.search(r"errors \| 0 \| ≤ 0 \| ([\d,]+ pages)", measured)[1]

    assert told in PAGES["README.md"]
    assert pages in PAGES["README.md"]
