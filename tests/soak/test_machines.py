"""Two servers and a worker that share no disk: one shop, by a database server and a store of files alone."""

import re
import secrets
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.conf import settings

from tests import postgres
from tests.shop.post_office import PostOffice
from tests.soak.client import Browser
from tests.soak.load import CUT_AT, PHOTO
from tests.soak.seed import PASSWORD
from tests.soak.served import ServedShop
from tests.test_post import wait_for

pytestmark = [
    pytest.mark.soak,
    pytest.mark.skipif(not postgres.is_here(), reason="no PostgreSQL server can be started here"),
]


class Machine(ServedShop):
    """One of several that serve the same shop, with a data folder of its own."""

    def __init__(self, folder: Path, shared: dict[str, str]) -> None:
        folder.mkdir()
        super().__init__(folder)
        self.shared = shared

    @property
    def environment(self) -> dict[str, str]:
        return super().environment | self.shared

    def begin_worker(self, post: PostOffice) -> "subprocess.Popen[bytes]":
        """What sends letters, and nothing else of the shop."""
        return subprocess.Popen(
            [sys.executable, "manage.py", "send_letters"],
            cwd=settings.BASE_DIR,
            env=self.environment | {"EMAIL_URL": f"smtp://127.0.0.1:{post.port}"},
            stdout=self.log,
            stderr=self.log,
        )


@pytest.fixture
def store() -> Iterator[str]:
    """An empty store of files; what SHOPREPAIR_FILES says of it."""
    boto3 = pytest.importorskip("boto3")
    at = pytest.importorskip("moto.server").ThreadedMotoServer(ip_address="127.0.0.1", port=0, verbose=False)
    at.start()
    endpoint = "http://{}:{}".format(*at.get_host_and_port())
    session = boto3.session.Session("key", "secret", region_name="us-east-1")
    session.resource("s3", endpoint_url=endpoint).create_bucket(Bucket="loft")
    yield f"s3://key:secret@loft/files?endpoint={endpoint}&region=us-east-1"
    at.stop()


@pytest.fixture
def machines(store: str, tmp_path: Path) -> Iterator[list[Machine]]:
    with postgres.running() as server:
        shared = {
            "DATABASE_URL": server.create("loft"),
            "SHOPREPAIR_FILES": store,
            "SHOPREPAIR_WORKER": "apart",
            "SECRET_KEY": secrets.token_urlsafe(64),
        }
        made = [Machine(tmp_path / name, shared) for name in ("one", "other", "third")]
        yield made
        for machine in made:
            machine.ends()


def test_a_photo_taken_at_one_is_on_the_paper_of_the_other_and_the_worker_writes_to_whoever_asked(
    machines: list[Machine],
) -> None:
    one, other, third = machines
    ((customer, wing), *_) = one.seeded(1)["fresh"]
    shutil.copytree(one.folder / "static", other.folder / "static")
    for machine in (one, other):
        machine.start()
    person = Browser(one.port)
    person.log_in("maja", PASSWORD)
    _, where = person.post(
        "/check-in/start/", {"customer": str(customer), "inflatable": str(wing), "key": "k1"}
    )
    job = re.findall(r"/jobs/(\d+)/", where)[0]
    assert person.post(f"/jobs/{job}/pin/", {"x": "0.300", "y": "0.020", "key": "k2"})[0] == 302
    assert person.post(f"/jobs/{job}/photos/", {"key": "k3"}, ("photo", PHOTO))[0] == 302

    person.port = other.port
    status, sheet = person.get(f"/jobs/{job}/check-in/")
    photo = re.findall(r"/photos/[\w-]+/small\.jpg", sheet)[0]
    assert (status, person.get(photo)[0]) == (200, 200)
    status, paper = person.get(f"/jobs/{job}/work-order.pdf")
    assert (status, paper[:5]) == (200, "%PDF-")
    assert "/Subtype /Image" in paper or "/Image" in paper

    with PostOffice() as post:
        _has_an_address(one.shared["DATABASE_URL"])
        _asks_for_help(Browser(other.port))
        worker = third.begin_worker(post)
        try:
            wait_for(lambda: "ilka@sandvoort.example" in post.receivers, 60)
            wait_for(lambda: '"worker": {"word": "ok"' in Browser(one.port).get("/ready/")[1], 60)
        finally:
            worker.terminate()
            worker.wait()
    for machine in (one, other):
        assert not (machine.folder / "files").exists()
        assert not (machine.folder / "secret_key").exists()


def _has_an_address(url: str) -> None:
    import psycopg

    with psycopg.connect(url, autocommit=True) as connection:
        connection.execute("UPDATE shop_shop SET email = 'loft@northquay.example'")


def _asks_for_help(somebody: Browser) -> None:
    path = f"/self-check/enquiry/?{CUT_AT}"
    _, page = somebody.get(path)
    said = {
        "name": "Ilka Sandvoort",
        "contact": "ilka@sandvoort.example",
        "comes": "by-hand",
        "key": re.findall(r'name="key" value="([^"]+)"', page)[0],
    }
    assert somebody.post(path, said, ("photos", PHOTO))[0] == 302
