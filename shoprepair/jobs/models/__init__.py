from shoprepair.jobs.models.contact import Message, StatusLink
from shoprepair.jobs.models.customers import Customer, Ownership, SearchWord
from shoprepair.jobs.models.damage import Damage
from shoprepair.jobs.models.enquiry import Enquiry, SelfCheckTally
from shoprepair.jobs.models.job import Job
from shoprepair.jobs.models.photo import Photo
from shoprepair.jobs.models.stages import Hold, Stage

__all__ = [
    "Customer",
    "Damage",
    "Enquiry",
    "Hold",
    "Job",
    "Message",
    "Ownership",
    "Photo",
    "SearchWord",
    "SelfCheckTally",
    "Stage",
    "StatusLink",
]
