"""The page of a job's hold test: begun, read, decided."""

import datetime

from django.utils import timezone

from shoprepair.work.models import HoldTest

MINUTE = datetime.timedelta(minutes=1)


def address(job, *rest):
    return "/".join([f"/bench/jobs/{job.number}/hold-test", *map(str, rest), ""])


def page(client, job):
    answer = client.get(address(job))
    assert answer.status_code == 200
    return answer.content.decode()


def begin(client, job, pressure="0.50 bar", **more):
    return client.post(address(job, "begin"), {"pressure": pressure, "tube": "all", **more})


def begun(client, job):
    """A test that was begun two hours ago."""
    begin(client, job)
    HoldTest.objects.update(began_at=timezone.now() - 120 * MINUTE)
    return HoldTest.objects.get()


def ago(minutes):
    return f"{timezone.localtime() - minutes * MINUTE:%Y-%m-%dT%H:%M}"


def read(client, test, pressure, minutes, temperature="20", /, **more):
    said = {
        "pressure": pressure,
        "pressure_unit": "bar",
        "temperature": temperature,
        "temperature_unit": "°C",
        "at": ago(minutes),
        "shown": ago(0),
    }
    return client.post(address(test.job, test.pk, "readings"), said | more)
