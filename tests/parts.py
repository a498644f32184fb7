"""What the shop is made of: its packages, their licences, and the holes that are known in them.

    python -m tests.parts FOLDER [TOOLS]

writes licences.txt, parts.json (CycloneDX) and holes.json into a folder outside the tree. TOOLS is where
cyclonedx-py and pip-audit are installed. Ends with 1 for a known hole or a licence that nobody looked at, and
with 2 where the list of holes could not be asked.
"""

import json
import re
import subprocess
import sys
from importlib import metadata
from pathlib import Path

BASE = Path(__file__).resolve().parents[1]
LOCK = BASE / "requirements.lock"
FREE = re.compile(
    r"\b(MIT|BSD|Apache|ISC|PSF|Python Software Foundation|HPND|CMU|MIT-CMU|LGPL|Lesser General Public|MPL|"
    r"Mozilla Public|Zlib|0BSD|Unlicense|CC0)\b",
    re.IGNORECASE,
)
"""What may be used in a program that is given away under MIT and links to it without changing it."""


def names(lock: Path = LOCK) -> list[str]:
    """The packages of a lock file that this platform installs."""
    found = re.findall(r"^([\w.\-]+)(?:\[[\w,\-]+\])?==", lock.read_text(), re.MULTILINE)
    return [name for name in found if _is_installed(name)]


def licence(name: str) -> str:
    """The licence that an installed package names: by expression, classifiers, or a line of its own."""
    said = metadata.metadata(name)
    classified = [
        each.rpartition(" :: ")[2] for each in said.get_all("Classifier", []) if each.startswith("License ::")
    ]
    own = (said.get("License") or "").strip().partition("\n")[0]
    return said.get("License-Expression") or "; ".join(classified) or own


def unknown() -> dict[str, str]:
    """Packages whose licence is none of those that may be used."""
    said = {name: licence(name) for name in names()}
    return {name: text for name, text in said.items() if not FREE.search(text)}


def holes(report: str) -> tuple[list[str], int]:
    """The known holes in a report of pip-audit, a line each; and of how many packages nothing is known."""
    packages = json.loads(report)["dependencies"]
    found = [
        f"{each['name']} {each['version']}: {hole['id']}, mended in {', '.join(hole['fix_versions'])}"
        for each in packages
        for hole in each.get("vulns", [])
    ]
    return found, sum("skip_reason" in each for each in packages)


def main(folder: Path, tools: Path) -> int:
    """Write everything; the code to end with."""
    if folder.resolve().is_relative_to(BASE):
        print("Name a folder outside the tree: these lists are of one day and one machine.")
        return 1
    folder.mkdir(parents=True, exist_ok=True)
    lines = [f"{name} {metadata.version(name)}: {licence(name)}\n" for name in names()]
    (folder / "licences.txt").write_text("".join(lines))
    listed = [
        tools / "cyclonedx-py",
        "environment",
        sys.executable,
        "--of",
        "JSON",
        "-o",
        folder / "parts.json",
    ]
    subprocess.run([*map(str, listed)], check=True)
    print(f"{len(lines)} packages of the shop in {folder}, and all that is installed in parts.json.")
    for name, text in (wrong := unknown()).items():
        print(f"Look at the licence of {name}: {text or 'it names none'}")
    return max(int(bool(wrong)), _ask(folder, tools))


def _ask(folder: Path, tools: Path) -> int:
    asked = [
        tools / "pip-audit",
        "-r",
        LOCK,
        "--no-deps",
        "--disable-pip",
        "-f",
        "json",
        "--progress-spinner=off",
    ]
    done = subprocess.run([*map(str, asked)], capture_output=True, text=True, check=False)
    (folder / "holes.json").write_text(done.stdout)
    try:
        found, untold = holes(done.stdout)
    except (ValueError, KeyError):
        print(
            "The list of known holes could not be asked: no answer came. Ask again where there is a network."
        )
        return 2
    print("\n".join(found) or "No known hole among the packages that could be asked about.")
    if untold:
        print(f"Of {untold} packages nothing could be told: the index here keeps no list of holes.")
    return 1 if found else 2 if untold else 0


def _is_installed(name: str) -> bool:
    try:
        return bool(metadata.version(name))
    except metadata.PackageNotFoundError:
        return False


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), Path(sys.argv[2] if len(sys.argv) > 2 else Path(sys.executable).parent)))
