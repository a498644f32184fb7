"""What the shop is made of may all be used, and what is known to be open in it is told."""

import json
import re
from pathlib import Path

import pytest

from tests import parts


def test_every_licence_is_one_that_may_be_used():
    assert len(parts.names()) > 20
    assert parts.unknown() == {}


@pytest.mark.parametrize("lock", sorted(path.name for path in parts.BASE.glob("requirements*.lock")))
def test_every_locked_package_has_one_version_and_a_digest(lock):
    entries = re.split(r"\n(?=[a-zA-Z0-9])", (parts.BASE / lock).read_text().strip())
    for entry in entries:
        assert re.match(r"[\w.\-\[\],]+==[\w.+!]+", entry), entry[:80]
        assert "--hash=sha256:" in entry, entry[:80]


def test_a_known_hole_is_told_with_what_mends_it_and_what_nobody_knows_is_counted():
    report = {
        "dependencies": [
            {"name": "a", "version": "1", "vulns": [{"id": "HOLE-1", "fix_versions": ["1.1"]}]},
            {"name": "b", "version": "2", "vulns": []},
            {"name": "c", "version": "3", "skip_reason": "not found"},
        ]
    }
    assert parts.holes(json.dumps(report)) == (["a 1: HOLE-1, mended in 1.1"], 1)


def test_no_list_is_ever_written_into_the_tree(capsys):
    assert parts.main(parts.BASE / "lists", Path("nowhere")) == 1
    assert "outside the tree" in capsys.readouterr().out
    assert not (parts.BASE / "lists").exists()
