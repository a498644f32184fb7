"""The same with a PostgreSQL server; only where DATABASE_URL names one."""

import os

import pytest

from shoprepair.shop.backup import embedded, layout, moving, verifying, writing
from tests.shop.archive.shops import lived_in
from tests.shop.backup.shops import folders

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(
        not os.environ.get("DATABASE_URL", "").startswith("postgres"), reason="DATABASE_URL names no server"
    ),
]


def ours(tables: dict[str, int]) -> dict[str, int]:
    """Without the lists that Django writes anew by itself in each database."""
    return {
        name: rows for name, rows in tables.items() if name not in ("auth_permission", "django_content_type")
    }


def test_a_server_is_backed_up_by_its_own_tools_and_moves_into_a_file(tmp_path, django_db_blocker):
    with folders(tmp_path), django_db_blocker.unblock():
        lived_in()
        (tmp_path / "backups").mkdir()
        made = writing.make(tmp_path / "backups")
        moving.into_file(tmp_path / "moved.sqlite3")
        moved = embedded.look_over(tmp_path / "moved.sqlite3")

        assert made.manifest.database == "postgresql"
        assert verifying.verify(made.path, deep=True) == layout.read(made.path)
        assert ours(moved.tables) == ours(made.manifest.tables)
        assert moved.named == [
            path.removeprefix("files/") for path in made.manifest.files if path.startswith("files/")
        ]
