"""`python -m tests.measure.part pages`: one part, a line of JSON a figure."""

import importlib
import sys

from tests.measure import kept


def main(name: str) -> None:
    """Measure it, and say each figure as soon as it is known."""
    kept.begin()
    for said in importlib.import_module(f"tests.measure.{name}").measured():
        print(said.line(), flush=True)


if __name__ == "__main__":
    main(sys.argv[1])
