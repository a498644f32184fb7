import hashlib
import os
import shutil
import sys
from operator import itemgetter
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.core.management import BaseCommand, CommandError, CommandParser, call_command
from django.db import connection, connections
from django.db.models import QuerySet
from django.urls import reverse
from django.utils import timezone

from shoprepair import serve
from shoprepair.jobs import links
from shoprepair.jobs.models import Job, Stage
from shoprepair.office.demo import build, most_urgent
from shoprepair.office.demo.people import LOG_INS
from shoprepair.papers import quote, work_order
from shoprepair.pricing import quotes
from shoprepair.pricing.models import Quote
from shoprepair.shop.settings import current

OURS = ("shop.sqlite3*", "files", "papers", "static", "secret_key", "demo-shop")
"""What the shop keeps in its data folder. Whatever else lies there is somebody else's."""


class Command(BaseCommand):
    help = "Build the demo shop where there is no shop yet, say what hangs on its rack, and serve it."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--fresh", action="store_true", help="Throw the demo shop away and build it anew."
        )
        parser.add_argument("--no-serve", action="store_true", help="Stop before serving.")

    def handle(self, *, fresh: bool, no_serve: bool, **_options: Any) -> None:
        if not no_serve:
            self._check_listening()
        self._migrate()
        if fresh and not build.is_empty():
            self._throw_away()
            self._migrate()
        self._fill()
        self._say(self._work_order(), self._quote_out())
        if not no_serve:
            self._serve()

    def _check_listening(self) -> None:
        try:
            serve.check_listening()
        except ValueError as error:
            raise CommandError(str(error)) from None

    def _throw_away(self) -> None:
        """Only ever the demo: a folder with a shop of its own is left as it is."""
        if connection.vendor != "sqlite":
            raise CommandError("The demo starts over only in its own folder: unset DATABASE_URL.")
        if not build.is_the_demo():
            raise CommandError(
                f"{settings.DATA_DIR} holds a shop that is not the demo, and is left alone. "
                "Choose another folder: SHOPREPAIR_DATA=… make demo-fresh"
            )
        connections.close_all()
        for pattern in OURS:
            for entry in list(Path(settings.DATA_DIR).glob(pattern)):
                shutil.rmtree(entry) if entry.is_dir() else entry.unlink(missing_ok=True)

    def _migrate(self) -> None:
        call_command("migrate", interactive=False, verbosity=0)

    def _fill(self) -> None:
        _gather_static_files()
        if build.is_empty():
            self.stdout.write("Building the demo shop and its five years. This takes less than a minute …")
            self.stdout.flush()
            build.build(timezone.now())

    def _work_order(self) -> Path | None:
        """Write the most urgent open job's work order as a PDF into the data folder."""
        job = _most_urgent().filter(damage_count__gt=0).first()
        if job is None:
            return None
        return _kept(
            f"work-order-{job}.pdf", work_order.render(job, paper=current().paper, base_url=serve.url())
        )

    def _quote_out(self) -> Quote | None:
        """The quote of the most urgent job that has one out and a link to answer it under."""
        waiting = _most_urgent().filter(stage=Stage.QUOTE_OUT, status_links__withdrawn_at=None)
        found = (quotes.current(job) for job in waiting.filter(status_links__isnull=False))
        return next(
            (one for one in found if one and one.state == Quote.State.OUT and not quotes.expired(one)), None
        )

    def _say(self, paper: Path | None, out: Quote | None) -> None:
        self.stdout.write(f"\n{current()}: the ten most urgent open jobs\n\n{most_urgent.table()}\n")
        if paper:
            self.stdout.write(f"Work order   {paper}")
        if out and (link := links.current(out.job)):
            content = quote.render(out, paper=current().paper, base_url=serve.url())
            self.stdout.write(f"Quote        {_kept(f'quote-{quote.number(out)}.pdf', content)}")
            self.stdout.write(f"Status link  {links.url(link, serve.url())}")
        if build.is_the_demo():
            self.stdout.write("Log in as")
            for one in LOG_INS:
                self.stdout.write(f"  {one.username:<9}  {one.password:<22}  {one.name}")
        self.stdout.write(f"Self-check   {serve.url().rstrip('/')}{reverse('self-check')}")
        self.stdout.write(f"The shop     {serve.url()}\n")

    def _serve(self) -> None:
        """Become the server. The hosts under which it is reached go into its settings."""
        self.stdout.write("Ctrl-C stops it; the data stays.")
        self.stdout.flush()
        connections.close_all()
        hosts = [os.environ.get("SHOPREPAIR_HOSTS", ""), *serve.reached_as()]
        os.environ["SHOPREPAIR_HOSTS"] = ",".join(filter(None, hosts))
        gunicorn = [sys.executable, "-m", "gunicorn", "-c", "python:shoprepair.serve", "shoprepair.wsgi"]
        os.execv(sys.executable, gunicorn)  # noqa: S606 - our own interpreter, no shell


def _most_urgent() -> QuerySet[Job]:
    return Job.objects.filter(is_open=True).order_by("rank", "promised_on", "id")


def _kept(name: str, content: bytes) -> Path:
    """A paper in the data folder."""
    path = Path(settings.DATA_DIR) / "papers" / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)
    return path


def _gather_static_files() -> None:
    """Collect them, which takes seconds, unless those that lie there were made of just these.

    Told by their content: a data folder that was copied has newer times than the files it was made of.
    """
    noted = Path(settings.STATIC_ROOT) / "made-of"
    made_of = _digest_of_static_files()
    if noted.exists() and noted.read_text() == made_of:
        return
    call_command("collectstatic", interactive=False, clear=True, verbosity=0)
    noted.write_text(made_of)


def _digest_of_static_files() -> str:
    digest = hashlib.sha256()
    for name, storage in sorted(
        (each for finder in get_finders() for each in finder.list([])), key=itemgetter(0)
    ):
        digest.update(f"{name}\0".encode())
        digest.update(Path(storage.path(name)).read_bytes())
    return digest.hexdigest()
