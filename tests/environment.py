"""The settings of the tests: a shop of their own in a folder that goes away, and quick passwords.

The database is a file opened exactly as in a real shop, so that threads and a served shop meet the
same locks; only the waiting for the disk is left out. Where DATABASE_URL names a server, as `make
test-postgres` has it, it is a database of the tests' own there.
"""

import atexit
import os
import shutil
import tempfile
from pathlib import Path

_folder = tempfile.mkdtemp(prefix="shoprepair-tests-")
_maker = os.getpid()
# Whitenoise warns about a shop whose static files were never collected.
(Path(_folder) / "static").mkdir()


def _remove() -> None:
    if os.getpid() == _maker:
        shutil.rmtree(_folder, ignore_errors=True)


atexit.register(_remove)
os.environ["SHOPREPAIR_DATA"] = _folder
if not os.environ.get("DATABASE_URL", "").startswith("postgres"):
    os.environ.setdefault("SHOPREPAIR_TEST_DATABASE", str(Path(_folder) / "test.sqlite3"))
for name in ("SHOPREPAIR_DEBUG", "SHOPREPAIR_HTTPS", "EMAIL_URL"):
    os.environ.pop(name, None)

from shoprepair.settings import *  # noqa: E402, F403
from shoprepair.settings import DATABASES, STORAGES  # noqa: E402

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
STORAGES["staticfiles"] = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
if "init_command" in (options := DATABASES["default"].get("OPTIONS", {})):
    options["init_command"] = options["init_command"].replace("synchronous=FULL", "synchronous=OFF")
