"""What the demo shop is held to. `test_demo.py` builds it once for all of these, which takes long."""

from datetime import UTC, datetime

from shoprepair.jobs.models import Job

NOW = datetime(2026, 11, 25, 15, 30, tzinfo=UTC)


def open_jobs():
    return Job.objects.filter(is_open=True)


def job_of(name, pattern):
    return open_jobs().get(customer__name=name, inflatable__pattern__name=pattern)
