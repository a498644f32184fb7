"""Changes the modules that `modules.toml` names, runs their own tests on each change, and says what none saw.

    python -m tests.mutation.run [GROUP ...]

Works on a copy below `.venv/mutants`, never in the tree, and begins it anew each time. Ends with 1 where a
change went unseen that nobody has explained.
"""

import hashlib
import json
import os
import shutil
import subprocess
import sys
import tomllib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tests.mutation.kept import EMPTY

ROOT = Path(__file__).resolve().parents[2]
COPIES = ROOT / ".venv" / "mutants"
LISTED = Path(__file__).with_name("modules.toml")
ALIVE, UNTESTED, UNTRIED = 0, {5, 33}, None


@dataclass
class Found:
    """What became of the changes of one module."""

    module: str
    made: int = 0
    killed: int = 0
    explained: int = 0
    untried: int = 0
    unread: list[str] = field(default_factory=list)


def main(names: list[str]) -> int:
    """Run the groups that are named, or all; 1 where something is left to be read."""
    listed = tomllib.loads(LISTED.read_text())
    left = 0
    COPIES.mkdir(parents=True, exist_ok=True)
    os.environ[EMPTY] = str(COPIES / f"empty-{digest_of_migrations()}.sqlite3")
    for name in names or list(listed["group"]):
        folder = copied(name, listed["group"][name])
        command = [
            sys.executable,
            "-m",
            "tests.mutation.thinned",
            "run",
            "--max-children",
            os.environ.get("JOBS", "2"),
        ]
        subprocess.run(command, cwd=folder, check=False)
        for found in judged(folder, listed["group"][name], listed.get("accepted", [])):
            print(
                f"{found.module}: {found.made} made, {found.killed} killed, {found.explained} explained, "
                f"{len(found.unread)} unread, {found.untried} not tried"
            )
            print("\n".join(found.unread))
            left += len(found.unread) + found.untried
    return 1 if left else 0


def digest_of_migrations() -> str:
    """What tells one state of the tables from another."""
    files = sorted(ROOT.glob("shoprepair/**/migrations/*.py"))
    return hashlib.sha256(b"".join(file.read_bytes() for file in files)).hexdigest()[:16]


def copied(name: str, group: dict[str, list[str]]) -> Path:
    """A copy of the working tree with mutmut's settings for this group."""
    folder = COPIES / name
    listed = subprocess.run(
        ["git", "ls-files", "-co", "--exclude-standard", "-z"],
        cwd=ROOT,
        capture_output=True,
        check=True,
        text=True,
    )
    shutil.rmtree(folder, ignore_errors=True)
    for file in filter(None, listed.stdout.split("\0")):
        if (ROOT / file).is_file():
            (folder / file).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(ROOT / file, folder / file)
    (folder / "setup.cfg").write_text(settings(group))
    return folder


def settings(group: dict[str, list[str]]) -> str:
    """Mutmut's settings: what is changed, and which tests look."""
    values = {
        "source_paths": ["shoprepair"],
        "only_mutate": [f"shoprepair/{module}" for module in group["modules"]],
        "also_copy": ["templates", "static", "fixtures", "manage.py"],
        "pytest_add_cli_args": ["-p", "tests.mutation.quick", "-p", "no:cacheprovider", "-n", "0"],
        "pytest_add_cli_args_test_selection": [f"tests/{file}" for file in group["tests"]],
    }
    lines = [f"{key}=\n" + "".join(f"    {value}\n" for value in each) for key, each in values.items()]
    return "[mutmut]\n" + "".join(lines)


def judged(folder: Path, group: dict[str, list[str]], accepted: list[dict[str, str]]) -> Iterator[Found]:
    """What became of the changes, module by module."""
    from mutmut.mutation.diff_apply import get_diff_for_mutant

    os.chdir(folder)
    for module in group["modules"]:
        path = Path("shoprepair") / module
        meta = Path("mutants") / f"{path}.meta"
        codes: dict[str, Any] = json.loads(meta.read_text())["exit_code_by_key"] if meta.exists() else {}
        found = Found(module, made=len(codes))
        for name, code in codes.items():
            if code is UNTRIED:
                found.untried += 1
            elif code != ALIVE and code not in UNTESTED:
                found.killed += 1
            else:
                was, now = change(get_diff_for_mutant(name, path=path))
                facts = {"module": module, "function": function(name), "was": was, "now": now}
                if is_explained(facts, accepted):
                    found.explained += 1
                else:
                    found.unread.append(f"  {name.rpartition('.')[2]}\n    - {was}\n    + {now}")
        yield found


def change(diff: str) -> tuple[str, str]:
    """The lines before and after a change, without their indents."""
    lines = diff.split("\n")[3:]
    kinds = Counter(line[:1] for line in lines)
    was, now = (
        " ".join(line[1:].strip() for line in lines if line[:1] == sign) if kinds[sign] else ""
        for sign in "-+"
    )
    return was, now


def function(name: str) -> str:
    """The function that a change is in, by mutmut's name of the change."""
    return name.rpartition(".")[2].removeprefix("x_").rpartition("__mutmut_")[0]


def is_explained(facts: dict[str, str], accepted: list[dict[str, str]]) -> bool:
    """Whether somebody read this change, or all of its function, and wrote down why no test can see it."""
    return any(all(facts[key] == each[key] for key in each if key != "why") for each in accepted)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
