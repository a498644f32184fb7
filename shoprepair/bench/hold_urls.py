"""The hold test of a job, and the second person's look at it."""

from django.urls import path

from shoprepair.bench.views import hold_test, second_check

_JOB = "bench/jobs/<int:number>/hold-test/"

urlpatterns = [
    path(_JOB, hold_test.hold_test, name="hold-test"),
    path(f"{_JOB}begin/", hold_test.begin, name="hold-begin"),
    path(f"{_JOB}<int:pk>/readings/", hold_test.reading, name="hold-reading"),
    path(f"{_JOB}<int:pk>/readings/<int:reading>/remove/", hold_test.remove, name="hold-reading-remove"),
    path(f"{_JOB}<int:pk>/readings/<int:reading>/restore/", hold_test.restore, name="hold-reading-restore"),
    path(f"{_JOB}<int:pk>/decide/", hold_test.decide, name="hold-decide"),
    path(f"{_JOB}<int:pk>/stop/", hold_test.stop, name="hold-stop"),
    path("bench/jobs/<int:number>/second-check/", second_check.check, name="second-check"),
]
