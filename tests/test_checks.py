"""No shop is served under settings that lay it open, and each refusal says what to do."""

import pytest

from shoprepair import checks, serve


@pytest.fixture
def on_the_web(settings, tmp_path, monkeypatch):
    """A shop behind HTTPS, whose folder is its own."""
    settings.HTTPS, settings.DATA_DIR = True, tmp_path
    monkeypatch.setattr(checks, "_database", lambda: tmp_path / "shop.sqlite3")
    for name in ("secret_key", "shop.sqlite3"):
        (tmp_path / name).touch(mode=0o600)
    return settings


def test_a_shop_whose_folder_is_its_own_is_served(on_the_web, capsys):
    assert checks.errors() == checks.warnings() == []
    serve.check_settings()
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"DEBUG": True}, "unset it where the shop is on the web"),
        ({"ALLOWED_HOSTS": ["*"]}, "name the hosts under which the shop is reached"),
        ({"SECRET_KEY": "short"}, "fewer than 50 characters"),
        ({"SECRET_KEY": "ab" * 40}, "can be guessed"),
        ({"SECRET_KEY": "django-insecure-" + "0123456789abcdef" * 4}, "can be guessed"),
    ],
)
def test_it_is_not_served_under_a_setting_that_lays_it_open(on_the_web, change, says, capsys):
    for name, value in change.items():
        setattr(on_the_web, name, value)
    (sentence,) = checks.errors()
    assert says in sentence
    with pytest.raises(SystemExit) as ended:
        serve.check_settings()
    assert ended.value.code == serve.REFUSED
    assert sentence in capsys.readouterr().err


@pytest.mark.parametrize(("name", "what"), [("secret_key", "key"), ("shop.sqlite3", "database")])
def test_nobody_else_on_the_machine_reads_key_or_database(on_the_web, tmp_path, monkeypatch, name, what):
    (tmp_path / name).chmod(0o644)
    tmp_path.chmod(0o700)
    assert checks.errors() == []
    monkeypatch.setattr(checks, "_is_passed_by_all", lambda _folder: True)
    assert checks.errors() == [
        f"Everybody on this machine can read the shop's {what}: chmod o-rwx {tmp_path}",
    ]
    on_the_web.HTTPS = False
    assert (checks.errors(), len(checks.warnings())) == ([], 1)


def test_the_embedded_database_does_not_lie_on_a_network_disk(on_the_web, tmp_path, monkeypatch):
    mounts = tmp_path / "mounts"
    mounts.write_text(f"/dev/sda1 / ext4 rw 0 0\nshelf:/loft {tmp_path} nfs4 rw 0 0\n")
    monkeypatch.setattr(checks, "_MOUNTS", mounts)
    (sentence,) = checks.errors()
    assert "network disk (nfs4)" in sentence
    monkeypatch.setattr(checks, "_database", lambda: None)
    assert checks.errors() == []


def test_settings_that_cannot_be_read_are_said_in_one_sentence(monkeypatch, capsys):
    def unreadable():
        raise serve.ImproperlyConfigured("SECRET_KEY must have at least 50 characters.")

    monkeypatch.setattr(serve, "_set_up", unreadable)
    with pytest.raises(SystemExit):
        serve.check_settings()
    assert capsys.readouterr().err.splitlines()[0] == "SECRET_KEY must have at least 50 characters."


def test_what_mends_a_shop_runs_whatever_they_say():
    assert checks.unsafe in checks.checks.registry.registry.deployment_checks
    assert checks.unsafe not in checks.checks.registry.registry.registered_checks
