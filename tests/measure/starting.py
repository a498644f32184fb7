"""A server's start: import and first page, beside bare Django with the same apps; and what a worker holds.

Ours is what the server loads before its workers part (`shoprepair.wsgi`: settings looked at, every view, the
table of addresses) and the first page. Bare Django is told of the same apps and of nothing else: it loads
them with their models, lets each do what it does at its start (`AppConfig.ready`), and answers one word,
without any middleware, view or template of ours. The note says what it takes without `ready` too, which is
our own work.

Each start is a process of its own, in turn, and counts processor time from its beginning to its first page.
Programs are compiled beforehand, as `manage.py upgrade` leaves them.
"""

import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping

from tests.measure import kept
from tests.measure.said import Said

ROUNDS = 9
OURS = "from shoprepair.wsgi import application\n"
BARE = """
import sys, types
from django.conf import settings
from shoprepair import settings as ours
from django.http import HttpResponse
from django.urls import path
urls = types.ModuleType("bare_urls")
urls.urlpatterns = [path("log-in/", lambda request: HttpResponse("ok"))]
sys.modules["bare_urls"] = urls
settings.configure(
    INSTALLED_APPS=ours.INSTALLED_APPS, AUTH_USER_MODEL=ours.AUTH_USER_MODEL, ROOT_URLCONF="bare_urls",
    DATABASES=ours.DATABASES, TEMPLATES=ours.TEMPLATES, SECRET_KEY="bare", ALLOWED_HOSTS=["*"], USE_TZ=True,
    DEFAULT_AUTO_FIELD="django.db.models.BigAutoField",
)
from django.core.wsgi import get_wsgi_application
application = get_wsgi_application()
"""
IDLE = """
from importlib import import_module
from shoprepair import settings as ours
for name in ours.INSTALLED_APPS:
    if name.startswith("shoprepair."):
        config = import_module(name + ".apps")
        for one in vars(config).values():
            if isinstance(one, type) and one.__module__ == config.__name__:
                one.ready = lambda self: None
"""
PAGE = """
import time
from wsgiref.util import setup_testing_defaults
asked = {"PATH_INFO": "/log-in/", "HTTP_HOST": "127.0.0.1", "REMOTE_ADDR": "127.0.0.1"}
setup_testing_defaults(asked)
said = []
b"".join(application(asked, lambda status, headers: said.append(status)))
assert said == ["200 OK"], said
print(time.process_time())
"""
HELD = """
status = open("/proc/self/status").read()
print(next(line.split()[1] for line in status.splitlines() if line.startswith("VmRSS")))
"""
MOST_MB = 200


def measured() -> Iterator[Said]:
    """Start each in turn; the shortest of each counts."""
    programs = {"ours": OURS, "bare": BARE, "idle": IDLE + BARE}
    with tempfile.TemporaryDirectory() as compiled:
        environment = _compiling(compiled)
        for program in programs.values():
            _started(program, environment)
        took = {
            name: min(times)
            for name, times in zip(programs, zip(*_rounds(programs, environment), strict=True), strict=True)
        }
        held = int(_started(OURS, environment, HELD).split()[1]) / 1024
    note = f"{took['ours']:.2f} s of processor, {took['bare']:.2f} s ({took['idle']:.2f} s without “ready”)"
    ratio = took["ours"] / took["bare"]
    yield Said("start and first page, to bare Django with the same apps", ratio, 1.5, note=note)
    yield Said("memory of a worker after its first page", round(held), MOST_MB, unit="MB")


def _rounds(programs: Mapping[str, str], environment: Mapping[str, str]) -> Iterator[list[float]]:
    for _ in range(ROUNDS):
        yield [float(_started(program, environment)) for program in programs.values()]


def _compiling(folder: str) -> dict[str, str]:
    """An environment in which what was compiled once is kept in this folder."""
    inherited = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return inherited | {"PYTHONPYCACHEPREFIX": folder}


def _started(program: str, environment: Mapping[str, str], more: str = "") -> str:
    """What a new process printed: its processor seconds until the first page, and what it was asked more."""
    done = subprocess.run(
        [sys.executable, "-c", program + PAGE + more],
        cwd=kept.ROOT,
        env=environment,
        check=True,
        stdout=subprocess.PIPE,
        text=True,
    )
    return done.stdout
