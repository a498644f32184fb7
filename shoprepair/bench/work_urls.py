"""The bench itself: what to take, the steps of a job, ticks, photos and time."""

from django.urls import path

from shoprepair.bench.views import all_done, found, hold_end, job, move, photo, queue, tick, time

urlpatterns = [
    path("bench/", queue.bench, name="bench"),
    path("bench/take/", queue.take, name="bench-take"),
    path("bench/ticks/", tick.tick, name="bench-tick"),
    path("bench/ticks/decide/", tick.decide, name="bench-tick-decide"),
    path("bench/time/", time.time, name="bench-time"),
    path("bench/time/stop/", time.stop, name="bench-stop"),
    path("bench/time/<int:pk>/mend/", time.mend, name="bench-time-mend"),
    path("bench/jobs/<int:number>/", job.job, name="bench-job"),
    path("bench/jobs/<int:number>/done/", all_done.all_done, name="bench-all-done"),
    path("bench/jobs/<int:number>/hold/end/", hold_end.hold_end, name="bench-hold-end"),
    path("bench/jobs/<int:number>/found/", found.found, name="bench-found"),
    path("bench/jobs/<int:number>/steps/<int:pk>/", job.step, name="bench-step"),
    path("bench/jobs/<int:number>/steps/<int:pk>/move/", move.move, name="bench-step-move"),
    path("bench/jobs/<int:number>/steps/<int:pk>/photos/", photo.photo, name="bench-photo"),
]
