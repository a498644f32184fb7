"""A hundred thousand findings judged anew after a figure changed, by the worker, which is killed half way.

In a copy of the kept shop whose closed jobs are opened again until so many findings hang on the rack.
SHOPREPAIR_JUDGED=5000 takes fewer. What is asked: is a finding lost, half done or done twice by a kill; is a
row of the rack right or marked meanwhile; does memory grow with the number.
"""

import json
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from django.db.models import F, Max, Q, QuerySet

from shoprepair.jobs import assessment, judging_anew, queries
from shoprepair.jobs.judging_anew import Run
from shoprepair.jobs.models import Damage, Job
from shoprepair.shop import changes, notes
from shoprepair.shop.models import Staff
from shoprepair.shop.settings import cases, load_figures
from tests.measure import kept, shops
from tests.measure.said import Said

WANTED = int(os.environ.get("SHOPREPAIR_JUDGED") or 100_000)
FEW, LOOKED_AT, PAGES = 4_000, 300, 8
"""So few fill what the embedded database may keep of its file, as any number does."""
GROWS_AT_MOST, A_SECOND_AT_LEAST = 1.1, 50
SHOP = 100_000


def measured() -> Iterator[Said]:
    """Few, then all of them, in a copy that goes away."""
    shop = Path(str(shops.shop(SHOP)["NAME"]))
    with tempfile.TemporaryDirectory(dir=kept.folder()) as folder:
        file = Path(folder) / "shop.sqlite3"
        shutil.copyfile(shop, file)
        with shops.opened({"NAME": file}):
            yield from _judged_anew(file)


def _judged_anew(file: Path) -> Iterator[Said]:
    findings = _opened_again()
    _change_a_figure()
    _up_to(FEW)
    few = _Worker(file).to_its_end()
    run = _up_to(findings)
    stopped = _Worker(file).killed_past(run.until // 3)
    yield from _meanwhile(stopped)
    left = _of(stopped.after, stopped.until).count()
    many = _Worker(file).to_its_end()
    yield Said("judged anew: jobs done again after a kill", stopped.after - many.began_after, 0, unit="")
    note = f"of {findings:,}; {LOOKED_AT} of them judged here as well"
    yield Said("judged anew: findings that came out wrong", _wrong(run.until), 0, unit="", note=note)
    note = f"{left:,} in {many.seconds:.0f} s, of which {many.processor_s:.0f} s of processor"
    yield Said("judged anew: findings a second", left / many.seconds, A_SECOND_AT_LEAST, "least", "", note)
    note = (
        f"{few.held_mb:.0f} MB for {FEW:,}, {many.held_mb:.0f} MB for {left:,}; with what the system lends "
        f"of the file {few.with_the_file_mb:.0f} MB, {many.with_the_file_mb:.0f} MB"
    )
    yield Said("judged anew: most memory, many to few", many.held_mb / few.held_mb, GROWS_AT_MOST, note=note)


def _meanwhile(stopped: Run) -> Iterator[Said]:
    """The shop with nobody at it, as the kill has left it."""
    note = f"killed at job {stopped.after:,} of {stopped.until:,}"
    rows, wrong = 0, 0
    for line in _front():
        alike = not _otherwise(Damage.objects.filter(job=line.job.id))
        rows, wrong = rows + 1, wrong + (line.waits == alike)
    said = "judged anew, half way: rows of the rack neither right nor marked"
    yield Said(said, wrong, 0, unit="", note=f"{rows} looked at; {note}")
    before, behind = _of(0, stopped.after), _of(stopped.after, stopped.until)
    half_done = _otherwise(before) + behind.count() - _otherwise(behind)
    yield Said("judged anew, half way: findings half done", half_done, 0, unit="", note=note)


def _front() -> Iterator["queries.Line"]:
    after = ""
    for _ in range(PAGES):
        page = queries.rack(after=after)
        yield from page
        after = page.after


def _opened_again() -> int:
    """Open every job up to the one that has the last of so many findings; how many there are."""
    judged = Damage.objects.exclude(model_version="").order_by("job_id")
    last = judged.values_list("job_id", flat=True)[min(WANTED, judged.count()) - 1]
    Job.objects.filter(pk__lte=last).update(is_open=True)
    Job.objects.filter(pk__gt=last).update(is_open=False)
    return _of(0, last).count()


def _change_a_figure() -> None:
    """As the owner does it in the office."""
    owner, figures = Staff.objects.filter(role=Staff.Role.OWNER)[0], load_figures()
    hotter = figures.hot_celsius + 7
    changes.change_load_figures(who=owner, seen=changes.newest(figures), hot_celsius=hotter)


def _up_to(findings: int) -> Run:
    """Have the run end with the job that has the last of so many."""
    last = _of(0, 2**60).order_by("job_id").values_list("job_id", flat=True)[findings - 1]
    run = replace(judging_anew.standing() or judging_anew.begin(), until=last)
    notes.write(judging_anew.NAME, asdict(run))
    return run


def _of(after: int, until: int) -> QuerySet[Damage]:
    """Findings of the open jobs with these keys."""
    of_them = Damage.objects.filter(job__is_open=True, job__gt=after, job__lte=until)
    return of_them.exclude(model_version="")


def _otherwise(findings: QuerySet[Damage]) -> int:
    """How many of them were judged by other figures than today's, as they say themselves."""
    today = Q(assessment__inputs__cases__hot_celsius=cases().hot_celsius)
    findings = findings.exclude(model_version="")
    return findings.count() - findings.filter(today).count()


def _wrong(until: int) -> int:
    """Findings by other figures, jobs not as their worst, and whatever comes out otherwise here."""
    found = _of(0, until)
    worst = Max("damages__urgency", filter=Q(damages__removed_at=None), default=0)
    jobs = Job.objects.filter(is_open=True, pk__lte=until).annotate(worst=worst)
    chance = random.Random(3)
    keys = chance.sample(list(found.values_list("pk", flat=True)), min(LOOKED_AT, found.count()))
    here = sum(map(_comes_out_otherwise, Damage.objects.filter(pk__in=keys)))
    return _otherwise(found) + jobs.exclude(urgency=F("worst")).count() + here


def _comes_out_otherwise(finding: Damage) -> bool:
    stood = {name: getattr(finding, name) for name in assessment.COMPUTED}
    assessment.assess_damage(finding)
    return json.dumps(stood) != json.dumps({name: getattr(finding, name) for name in assessment.COMPUTED})


@dataclass(frozen=True, slots=True)
class Done:
    """What a worker said."""

    began_after: int
    held_mb: float
    with_the_file_mb: float
    seconds: float
    processor_s: float


class _Worker:
    """One process of `judges`."""

    def __init__(self, file: Path) -> None:
        command = [sys.executable, "-m", "tests.measure.judges", str(file)]
        self.process = subprocess.Popen(command, cwd=kept.ROOT, stdout=subprocess.PIPE, text=True)

    def _says(self) -> Iterator[dict[str, float]]:
        assert self.process.stdout
        for line in self.process.stdout:
            yield json.loads(line)

    def to_its_end(self) -> Done:
        """Let it work until nothing is left."""
        first, *_, last = self._says()
        assert self.process.wait() == 0
        return Done(int(first["after"]), **last)

    def killed_past(self, key: int) -> Run:
        """Kill it at its work once it has come past this job; how far it came, as the shop says."""
        for said in self._says():
            if (said.get("after") or 0) > key:
                break
        # Now it is in the middle of a batch.
        time.sleep(0.1)
        self.process.kill()
        self.process.wait()
        run = judging_anew.standing()
        assert run, "it was done before it could be killed"
        return run
