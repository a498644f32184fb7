"""The jobs in the shop: the rack, the job sheets and their papers."""

from django.urls import path

from shoprepair.counter.views import correct, expected_parts, job, papers, rack

urlpatterns = [
    path("", rack.rack, name="rack"),
    path("jobs/<int:number>/", job.job, name="job"),
    path("jobs/<int:number>/stage/", job.job_stage, name="job-stage"),
    path("jobs/<int:number>/hold/", job.job_hold, name="job-hold"),
    path("jobs/<int:number>/expected-parts/", expected_parts.expected_parts, name="expected-parts"),
    path("jobs/<int:number>/correct/", correct.correct, name="job-correct"),
    path("jobs/<int:number>/work-order.pdf", papers.work_order, name="work-order"),
    path("jobs/<int:number>/bag-tag.pdf", papers.bag_tag, name="bag-tag"),
]
