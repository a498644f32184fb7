import importlib
import socket

import pytest

from shoprepair import serve


@pytest.fixture
def listening(monkeypatch):
    """Have the shop listen elsewhere: `listening(HOST=…, PORT=…)`."""

    def choose(**environment):
        for name, value in environment.items():
            monkeypatch.setenv(name, value)
        return importlib.reload(serve)

    yield choose
    monkeypatch.undo()
    importlib.reload(serve)


def test_the_shop_listens_to_this_machine_alone_unless_told_otherwise(listening):
    chosen = listening(HOST="", PORT="")

    assert (chosen.bind, chosen.url(), chosen.reached_as()) == (
        "127.0.0.1:8000",
        "http://127.0.0.1:8000/",
        [],
    )


def test_a_named_host_and_port_are_honoured(listening):
    chosen = listening(HOST="tablet-shelf.example", PORT="8123")

    assert chosen.bind == "tablet-shelf.example:8123"
    assert chosen.url() == "http://tablet-shelf.example:8123/"
    assert chosen.reached_as() == ["tablet-shelf.example"]


def test_an_ipv6_address_stands_in_brackets(listening):
    chosen = listening(HOST="fd00::7", PORT="8000")

    assert chosen.bind == "[fd00::7]:8000"
    assert chosen.reached_as() == ["[fd00::7]"]


def test_listening_everywhere_answers_to_the_machines_own_names(listening):
    chosen = listening(HOST="0.0.0.0")

    assert socket.gethostname() in chosen.reached_as()
    assert "0.0.0.0" not in chosen.url()


def test_a_busy_port_is_said_with_the_next_one_to_try(listening):
    with socket.create_server(("127.0.0.1", 0)) as busy:
        port = busy.getsockname()[1]
        chosen = listening(HOST="127.0.0.1", PORT=str(port))

        with pytest.raises(ValueError, match=rf"Port {port} on 127.0.0.1 .* PORT={port + 1} make demo"):
            chosen.check_listening()


@pytest.mark.parametrize("port", ["eighty", "0", "70000", "-1"])
def test_a_port_that_is_none_is_refused_in_a_sentence(listening, port):
    with pytest.raises(ValueError, match="PORT must be a number from 1 to 65535"):
        listening(PORT=port).check_listening()


def test_a_host_that_is_not_ours_is_refused_in_a_sentence(listening):
    with pytest.raises(ValueError, match="HOST 'no such host' is not an address of this machine"):
        listening(HOST="no such host", PORT="8000").check_listening()
