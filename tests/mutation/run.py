"""Changes the modules that `modules.toml` names, runs their own tests on each change, and says what none saw.

    python -m tests.mutation.run [GROUP | MODULE ...]

Nothing is changed in the tree, only in processes that end. JOBS=4 tries so many changes at once, EVERY=5 only
every fifth change. What was found stays below `.venv/mutants` until the same group is looked at again; with
AGAIN=1 what was seen then is not tried any more. Ends with 1 where a change went unseen that nobody has
explained, or was not tried.
"""

import json
import os
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from tests.mutation import changes

ROOT = Path(__file__).resolve().parents[2]
FOUND = ROOT / ".venv" / "mutants"
LISTED = Path(__file__).with_name("modules.toml")


@dataclass
class Found:
    """What became of the changes of one module."""

    module: str
    made: int = 0
    seen: int = 0
    explained: int = 0
    unread: list[str] = field(default_factory=list)

    @property
    def untried(self) -> int:
        """Changes that no run came to."""
        return self.made - self.seen - self.explained - len(self.unread)


def main(names: list[str]) -> int:
    """Look at the groups or modules that are named, or at all; 1 where something is left to be read."""
    listed = tomllib.loads(LISTED.read_text())
    left = 0
    FOUND.mkdir(parents=True, exist_ok=True)
    for name, group in chosen(names, listed["group"]):
        answers = looked(name, group)
        for found in judged(group["modules"], answers, listed.get("accepted", [])):
            print(
                f"{found.module}: {found.made} made, {found.seen} seen, {found.explained} explained, "
                f"{len(found.unread)} unread, {found.untried} not tried"
            )
            print("\n".join(found.unread), flush=True)
            left += len(found.unread) + found.untried
    return 1 if left else 0


def chosen(
    names: list[str], groups: dict[str, dict[str, list[str]]]
) -> Iterator[tuple[str, dict[str, list[str]]]]:
    """The groups to look at; of a group that is there for a module of it, only that module."""
    for name, group in groups.items():
        modules = [each for each in group["modules"] if not names or name in names or each in names]
        if modules:
            yield name, {"modules": modules, "tests": group["tests"]}


def looked(name: str, group: dict[str, list[str]]) -> list[dict[str, str]]:
    """What became of each change that was tried."""
    file, before = FOUND / f"{name}.jsonl", FOUND / f"{name}-before.jsonl"
    before.write_text(file.read_text() if os.environ.get("AGAIN") and file.exists() else "")
    file.unlink(missing_ok=True)
    plugins = [
        "-p",
        "tests.mutation.quick",
        "-p",
        "tests.mutation.looking",
        "-p",
        "no:cacheprovider",
        "-n",
        "0",
    ]
    told = [
        f"--shares={os.environ.get('JOBS', '2')}",
        f"--every={os.environ.get('EVERY', '1')}",
        f"--found={file}",
        f"--seen-before={before}",
    ]
    told += [f"--changed={each}" for each in group["modules"]]
    tests = [f"tests/{each}" for each in group["tests"]]
    subprocess.run(
        [sys.executable, "-m", "pytest", *plugins, *told, "-m", "not soak", "--tb=short", *tests],
        cwd=ROOT,
        check=False,
    )
    return [json.loads(line) for line in file.read_text().splitlines()] if file.exists() else []


def judged(
    modules: list[str], answers: list[dict[str, str]], accepted: list[dict[str, str]]
) -> Iterator[Found]:
    """What became of the changes, module by module."""
    for module in modules:
        found = Found(module, made=sum(1 for _ in changes.of(ROOT / "shoprepair" / module)))
        for each in answers:
            if each["module"] != module:
                continue
            if each["answer"] == "seen":
                found.seen += 1
            elif is_explained(each, accepted):
                found.explained += 1
            else:
                found.unread.append(
                    f"  {each['function']} ({each['answer']})\n    - {each['was']}\n    + {each['now']}"
                )
        yield found


def is_explained(facts: dict[str, str], accepted: list[dict[str, str]]) -> bool:
    """Whether somebody read this change, or all of its function, and wrote down why no test can see it."""
    return any(all(facts[key] == each[key] for key in each if key != "why") for each in accepted)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
