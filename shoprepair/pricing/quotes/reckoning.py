"""The lines that a quote starts from."""

import importlib

from shoprepair.jobs.models import Job
from shoprepair.pricing.lines import Line
from shoprepair.pricing.models import PriceRules


def reckoned(job: Job, now: PriceRules) -> list[Line]:
    """The job's repairs proposed and priced by today's catalogue."""
    try:
        proposals = importlib.import_module("shoprepair.pricing.proposals")
        estimate = importlib.import_module("shoprepair.pricing.estimate")
        propose_job, lines_for = proposals.propose_job, estimate.lines_for
    except (ImportError, AttributeError):
        return []
    propose_job(job)
    return list(lines_for(job, now))
