"""The shop is brought up to date, and put on a machine of its own, by one command each."""

import io
import shutil
import subprocess
from importlib.util import cache_from_source
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from shoprepair.health.management.commands import upgrade
from shoprepair.shop.backup import layout

pytestmark = pytest.mark.skipif(connection.vendor != "sqlite", reason="the backup's own tests try a server")


@pytest.fixture
def asked(monkeypatch, settings, tmp_path) -> list[str]:
    """What an upgrade asks for, instead of doing it, with a program of one line."""
    asked: list[str] = []
    settings.BASE_DIR = tmp_path
    (tmp_path / "shoprepair").mkdir()
    (tmp_path / "shoprepair" / "line.py").write_text("DAYS = 7\n")
    monkeypatch.setattr(upgrade, "call_command", lambda name, **_rest: asked.append(name))
    return asked


def upgraded() -> str:
    said = io.StringIO()
    call_command("upgrade", stdout=said, stderr=said)
    return said.getvalue()


@pytest.mark.django_db
def test_an_upgrade_backs_up_first_then_brings_all_up_to_date_and_says_so(asked, monkeypatch) -> None:
    monkeypatch.setattr(upgrade.Command, "_waiting", lambda _self: ["shop 0001", "shop 0002"])
    said = upgraded()
    assert asked == ["back_up", "migrate", "collectstatic"]
    assert "Tables: 2 steps taken, the last shop 0002." in said
    assert said.endswith("Start the server anew, so that it runs what is new.\n")


@pytest.mark.django_db
def test_nothing_is_changed_when_the_backup_fails(monkeypatch, settings, tmp_path) -> None:
    settings.BACKUP_DIR = tmp_path / "not-a-folder"
    settings.BACKUP_DIR.touch()
    settings.DATA_DIR = tmp_path
    with pytest.raises(CommandError, match="nothing was changed"):
        call_command("upgrade", stdout=io.StringIO(), stderr=io.StringIO())
    assert not layout.backups(tmp_path)


@pytest.mark.django_db
def test_tables_that_are_up_to_date_are_left_alone(asked) -> None:
    assert "Tables: up to date." in upgraded()
    assert "migrate" not in asked


@pytest.mark.django_db
def test_the_server_which_may_not_write_beside_the_program_finds_it_compiled(asked, tmp_path) -> None:
    assert "Program: compiled." in upgraded()
    assert Path(cache_from_source(str(tmp_path / "shoprepair" / "line.py"))).exists()


@pytest.mark.django_db
def test_a_program_that_cannot_be_compiled_is_told_of(asked, tmp_path) -> None:
    (tmp_path / "shoprepair" / "line.py").write_text("DAYS =\n")
    assert "Program: not compiled" in upgraded()


@pytest.mark.django_db
def test_it_says_when_the_shop_will_not_be_served(asked, settings) -> None:
    settings.ALLOWED_HOSTS = ["*"]
    with pytest.raises(CommandError, match="name the hosts"):
        upgraded()


@pytest.fixture
def written(tmp_path):
    call_command("running_files", tmp_path / "out", host="loft.example", user="loft", stdout=io.StringIO())
    return tmp_path / "out"


def test_what_holds_passwords_is_for_its_owner_alone(written) -> None:
    assert (written / "shoprepair.env").stat().st_mode & 0o777 == 0o600
    environment = (written / "shoprepair.env").read_text()
    assert "SHOPREPAIR_HOSTS=loft.example\nSHOPREPAIR_HTTPS=1" in environment


def test_the_proxy_writes_down_no_link_and_lets_nobody_forge_where_he_comes_from(written) -> None:
    proxy = (written / "shoprepair.nginx.conf").read_text()
    assert "server_name loft.example;" in proxy
    assert "$request_uri" not in proxy.partition("log_format")[2].partition(";")[0]
    assert "X-Forwarded-Proto $scheme" in proxy
    assert "X-Forwarded-For $proxy_add_x_forwarded_for" in proxy


@pytest.mark.skipif(not shutil.which("systemd-analyze"), reason="asks systemd itself")
def test_systemd_understands_the_unit(written) -> None:
    unit = written / "shoprepair.service"
    asked = subprocess.run(["systemd-analyze", "verify", unit], capture_output=True, text=True, check=False)
    said = [line for line in asked.stderr.splitlines() if "shoprepair.service" in line]
    assert [line for line in said if "loft" not in line] == []


def test_what_was_written_before_is_not_written_over(written) -> None:
    with pytest.raises(CommandError, match="is there already"):
        call_command("running_files", written, host="other.example", stdout=io.StringIO())
