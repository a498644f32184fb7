"""Which branches of the rules do the tests take? `make coverage` asks it package by package.

    python -m tests.covered [pricing work …]

Each package of rules is measured by its own folder of tests, and by what `beside.toml` names for it. Ends
with a fault where one of them stays below 95 %, lines and branches counted together.
"""

import json
import os
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

from tests import postgres

LEAST = 95.0
KEPT, NAME = Path(".venv/coverage"), "figures"
BESIDE = tomllib.loads((Path(__file__).parent / "beside.toml").read_text())
COVERAGE = [sys.executable, "-m", "coverage"]


def main(packages: list[str]) -> int:
    """Measure, say each figure and what was missed; 1 where one is too low or a test fails."""
    too_low = [package for package in packages or BESIDE if _measured(package) < LEAST]
    if too_low:
        print(f"Below {LEAST:g} %: {', '.join(too_low)}.")
    return bool(too_low)


def _measured(package: str) -> float:
    shutil.rmtree(KEPT / package, ignore_errors=True)
    (KEPT / package).mkdir(parents=True)
    beside = BESIDE[package]
    _run(package, [f"tests/{package}", *beside.get("tests", [])], "not browser and not soak")
    if slow := beside.get("soak"):
        _run(package, slow, "soak")
    if served := beside.get("server"):
        if postgres.is_here():
            _run(package, served, "not soak", before=[sys.executable, "-m", "tests.postgres"])
        else:
            print(f"{package} without what only a server does. {postgres.HOW_TO_INSTALL}")
    return _said(package)


def _run(package: str, tests: list[str], mark: str, before: list[str] | None = None) -> None:
    """One run of tests; its figures are added to what others of this package left."""
    asked = ["run", f"--source=shoprepair/{package}", "-m", "pytest", "-n", "0", "-m", mark, *tests]
    subprocess.run(
        [*(before or []), *COVERAGE, *asked],
        env=os.environ | {"COVERAGE_FILE": str(KEPT / package / NAME)},
        check=True,
    )


def _said(package: str) -> float:
    """The figure of a package, with its branches by themselves."""
    kept, file = KEPT / package, f"--data-file={KEPT / package / NAME}"
    subprocess.run([*COVERAGE, "combine", "--quiet", file, str(kept)], check=True)
    subprocess.run([*COVERAGE, "report", "--skip-covered", "--fail-under=0", file], check=True)
    written = kept / "figures.json"
    subprocess.run([*COVERAGE, "json", "--quiet", "--fail-under=0", f"-o{written}", file], check=True)
    totals = json.loads(written.read_text())["totals"]
    branches = 100 * totals["covered_branches"] / totals["num_branches"]
    print(f"{package}: {totals['percent_covered']:.1f} %; of its branches alone {branches:.1f} %.\n")
    return float(totals["percent_covered"])


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
