"""A server's start: import and first page, beside bare Django with the same apps; and what a worker holds.

Each start is a process of its own, in turn; its processor time is what the kernel counted. What a page says
is not what is measured here, so both answer their log-in or one word.
"""

import os
import resource
import subprocess
import sys
from collections.abc import Iterator

from tests.measure import kept
from tests.measure.said import Said

ROUNDS = 9
OURS = """
import django
django.setup()
from django.core.wsgi import get_wsgi_application
from django.test import Client
get_wsgi_application()
assert Client().get("/log-in/", headers={"host": "127.0.0.1"}).status_code == 200
"""
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
import django
django.setup()
from django.core.wsgi import get_wsgi_application
from django.test import Client
get_wsgi_application()
assert Client().get("/log-in/", headers={"host": "127.0.0.1"}).status_code == 200
"""
HELD = """
status = open("/proc/self/status").read()
print(next(line.split()[1] for line in status.splitlines() if line.startswith("VmRSS")))
"""
MOST_MB = 200


def measured() -> Iterator[Said]:
    """Start both in turn; the shortest of each counts."""
    took = {"ours": [], "bare": []}
    for _ in range(ROUNDS):
        took["ours"].append(_started(OURS)[0])
        took["bare"].append(_started(BARE)[0])
    ours, bare = min(took["ours"]), min(took["bare"])
    note = f"{ours:.2f} s of processor, {bare:.2f} s"
    yield Said("start and first page, to bare Django with the same apps", ours / bare, 1.5, note=note)
    held = int(_started(OURS + HELD)[1]) / 1024
    yield Said("memory of a worker after its first page", round(held), MOST_MB, unit="MB")


def _started(program: str) -> tuple[float, str]:
    """Processor seconds of a new process, and what it printed."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=kept.ROOT,
        env=os.environ,
        check=True,
        stdout=subprocess.PIPE,
        text=True,
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, done.stdout
