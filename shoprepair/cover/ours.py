"""What is ours to mend: a job at nought for the damages of a claim decided so."""

from shoprepair.cover.models import Claim
from shoprepair.jobs.models import Job
from shoprepair.shop.models import Staff


def take_up(claim: Claim, who: Staff) -> Job:
    """The job at nought that mends what is ours, standing at go-ahead."""
    raise NotImplementedError
