"""Where the shop listens, and how `gunicorn -c python:shoprepair.serve shoprepair.wsgi` serves it."""

import contextlib
import gc
import ipaddress
import logging
import os
import socket
import sys
from typing import Any

import django
from django.apps import apps
from django.conf import settings
from django.core.exceptions import ImproperlyConfigured

from shoprepair import checks, post
from shoprepair.shop.log_writing import WithoutWaiting
from shoprepair.shop.logs import Json, Line, WithoutKeys

HOST = os.environ.get("HOST") or "127.0.0.1"
PORT = os.environ.get("PORT") or "8000"
REFUSED = 78
"""What the server ends with under settings that are not safe [sysexits.h, EX_CONFIG]."""


def check_listening() -> None:
    """Raise ValueError with one sentence when the shop cannot listen at HOST and PORT."""
    if not PORT.isdecimal() or not 0 < int(PORT) < 65536:
        raise ValueError(f"PORT must be a number from 1 to 65535, not {PORT!r}.")
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(HOST, int(PORT), type=socket.SOCK_STREAM)[0]
        with socket.socket(family, kind, protocol) as probe:
            # As the server itself binds: a port that was closed a moment ago is free.
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            probe.bind(address)
    except socket.gaierror:
        raise ValueError(f"HOST {HOST!r} is not an address of this machine.") from None
    except OSError as error:
        raise ValueError(
            f"Port {PORT} on {HOST} cannot be used ({error.strerror}). "
            f"Stop what listens there, or choose another: PORT={int(PORT) % 65535 + 1} make demo"
        ) from None


def reached_as() -> list[str]:
    """Names and addresses under which other devices reach a shop that listens at HOST."""
    try:
        address = ipaddress.ip_address(HOST)
    except ValueError:
        return [HOST]
    if address.is_unspecified:
        return _own_addresses(socket.AF_INET if address.version == 4 else socket.AF_INET6)
    return [] if address.is_loopback else [bracketed(HOST)]


def url() -> str:
    """The address to open: the first under which others reach the shop, else this machine's own."""
    return f"http://{(reached_as() or [bracketed(HOST)])[0]}:{PORT}/"


def bracketed(host: str) -> str:
    """An IPv6 address as it stands before a port."""
    return f"[{host}]" if ":" in host else host


def _own_addresses(family: socket.AddressFamily) -> list[str]:
    name = socket.gethostname()
    found = [_outgoing_address(family)]
    with contextlib.suppress(socket.gaierror):
        found += [str(entry[4][0]) for entry in socket.getaddrinfo(name, None, family)]
    return [*dict.fromkeys(bracketed(host) for host in found if host), name, f"{name}.local"]


def _outgoing_address(family: socket.AddressFamily) -> str:
    """This machine's address on the way to one that exists in examples only; no packet is sent."""
    somewhere = "203.0.113.1" if family == socket.AF_INET else "2001:db8::1"
    try:
        with socket.socket(family, socket.SOCK_DGRAM) as probe:
            probe.connect((somewhere, 9))
            return str(probe.getsockname()[0])
    except OSError:
        return ""


# What follows is read by gunicorn.

bind = f"{bracketed(HOST)}:{PORT}"
workers = 2
worker_class = "shoprepair.in_time.InTimeWorker"
threads = 4
# A work order with many photos takes seconds on a slow machine, never a minute.
timeout = 60
control_socket_disable = True
loglevel = "warning"
# What is loaded once before the workers part is loaded once for all of them.
preload_app = True


def on_starting(server: Any) -> None:
    """Write as the shop does: one line a record, none with a link's key, and never waiting for a reader."""
    form = Json() if settings.LOG_FORM == "json" else Line()
    for log in (server.log.error_log, server.log.access_log):
        log.addFilter(WithoutKeys())
        log.handlers = [
            WithoutWaiting(handler.stream) if type(handler) is logging.StreamHandler else handler
            for handler in log.handlers
        ]
        for handler in log.handlers:
            handler.setFormatter(form)


def check_settings() -> None:
    """End with one sentence for each setting that is not safe; say of others that they could be better."""
    try:
        _set_up()
        wrong, better = checks.errors(), checks.warnings()
    except ImproperlyConfigured as error:
        wrong, better = [str(error)], []
    print(*better, *wrong, sep="\n", end="\n" if better or wrong else "", file=sys.stderr)
    if wrong:
        print("The shop is not served until this is put right.", file=sys.stderr)
        raise SystemExit(REFUSED)


def _set_up() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shoprepair.settings")
    if not apps.ready:
        django.setup()


def when_ready(_server: object) -> None:
    """Have letters sent, and what is due every day done, for as long as the shop is served from here."""
    if settings.WORKER_HERE:
        post.start()


def on_exit(_server: object) -> None:
    """Let a letter that is being sent come to its end, and leave nothing running."""
    post.stop()


def post_worker_init(_worker: object) -> None:
    """Keep the collector from walking all that was loaded, and plan the bench beside the requests."""
    # Models can be read only once the worker has loaded the application.
    from shoprepair.shop.files import waiting
    from shoprepair.work.stale import reckoning

    reckoning.begin()
    waiting.begin()
    gc.collect()
    gc.freeze()
