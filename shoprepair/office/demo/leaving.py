"""Gear fetched: the customer pays, signs, and takes it home."""

import math

from shoprepair.jobs.models import Job
from shoprepair.office.demo.people import Crew
from shoprepair.work import hand_back, invoices, payments
from shoprepair.work.signature import Strokes

METHODS = ("card", "card", "cash", "transfer")
KNOWN_BY = ("the tag", "in person", "the tag", "a document: passport")


def fetch(job: Job, crew: Crew) -> None:
    """The whole due is paid and the customer takes the gear."""
    method, known_by = ways(job)
    if due := invoices.owed(job).due:
        payments.take(job, due, method, who=crew.counter)
    name = job.customer.name
    hand_back.give(job, name, known_by, scribble(job.number, len(name)), who=crew.counter)


def ways(job: Job) -> tuple[str, str]:
    """How a job is paid, and how the shop knows who takes it."""
    turn = job.number % len(METHODS)
    return METHODS[turn], KNOWN_BY[turn]


def scribble(seed: int, letters: int) -> Strokes:
    """What a finger in a hurry writes: loops along a rising line, and a stroke under it."""
    steps = 6 * letters
    loops = [
        (
            round(0.08 + 0.78 * k / steps + 0.02 * math.sin(k * 1.3), 4),
            round(0.55 - 0.1 * k / steps + (0.22 / (1 + k / 22)) * math.sin(k * (0.9 + seed % 5 / 11)), 4),
        )
        for k in range(steps + 1)
    ]
    return [loops, [(0.2, 0.8), (0.5, 0.74), (0.82, 0.7)]]
