"""What lies on the shelf: a delivery or two of each material, one low, one about to expire, one expired."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from django.utils import timezone

from shoprepair.office.demo import clock
from shoprepair.office.demo.people import Crew
from shoprepair.pricing.models import Material
from shoprepair.work import stock

CLOTH, FITTINGS, SUNDRIES = "The cloth merchant", "The fittings merchant", "The chandler"


@dataclass(frozen=True, slots=True)
class Delivery:
    """One lot: days since it came in, days until it expires (below nought: since), None where it keeps."""

    material: str
    mark: str
    quantity: str
    days: int
    expires_in: int | None = None


DELIVERIES = (
    Delivery("casing-cloth", "CC-2207", "12", 90),
    Delivery("canopy-cloth", "RC-1184", "8", 60),
    Delivery("window-film", "WF-052", "2", 200, 500),
    Delivery("tpu-film", "TF-118", "6", 120, 400),
    Delivery("adhesive-cloth", "AC-73", "3", 340, 21),
    Delivery("adhesive-cloth-two-sided", "AD-15", "0.4", 150, 300),
    Delivery("ripstop-tape", "RT-409", "4", 80, 600),
    Delivery("le-bladder", "LB-31", "1", 45),
    Delivery("strut-bladder", "SB-77", "2", 45),
    Delivery("inflation-valve", "IV-12", "3", 70),
    Delivery("dump-valve", "DV-08", "2", 70),
    Delivery("valve-ring", "VR-40", "10", 70),
    Delivery("hose", "HS-5", "2", 100),
    Delivery("hose-clamp", "HC-5", "12", 100),
    Delivery("thread-tex-90", "T90-66", "1200", 130),
    Delivery("thread-tex-135", "T135-21", "400", 130),
    Delivery("basting-tape", "BT-6", "50", 130, 250),
    Delivery("edge-tape", "ET-3", "20", 100),
    Delivery("handle", "HD-2", "3", 100),
    Delivery("bridle-loop", "BL-9", "6", 100),
    Delivery("alcohol-wipe", "AW-501", "200", 50, 320),
    Delivery("film-adhesive", "FA-31", "6", 380, -12),
    Delivery("film-adhesive", "FA-44", "12", 30, 160),
    Delivery("leak-soap", "LS-14", "40", 50),
    Delivery("wash-soap", "WS-3", "6", 50),
    Delivery("talc", "TC-1", "30", 200),
)
RULES = (
    ("casing-cloth", "3", "12", CLOTH, None),
    ("tpu-film", "1", "6", CLOTH, 24),
    ("adhesive-cloth-two-sided", "0.5", "2", CLOTH, 12),
    ("film-adhesive", "3", "12", SUNDRIES, 12),
    ("le-bladder", "1", "2", FITTINGS, None),
    ("inflation-valve", "2", "6", FITTINGS, None),
    ("thread-tex-90", "200", "1200", SUNDRIES, None),
)
"""Material, low at, ordered up to, from whom, months it keeps."""


def fill(now: datetime, crew: Crew) -> None:
    """Say when a material is low, and take in the deliveries that are on the shelf today."""
    today = timezone.localdate(now)
    materials = {material.code: material for material in Material.objects.all()}
    with clock.at(clock.open_at(now - timedelta(days=400))):
        for code, low_at, up_to, supplier, months in RULES:
            stock.change_rule(
                materials[code],
                low_at=Decimal(low_at),
                order_up_to=Decimal(up_to),
                supplier=supplier,
                shelf_months=months,
                who=crew.owner,
            )
    for delivery in sorted(DELIVERIES, key=lambda each: -each.days):
        came = clock.open_day(today - timedelta(days=delivery.days))
        keeps = delivery.expires_in
        expires_on = None if keeps is None else today + timedelta(days=keeps)
        with clock.at(clock.opening(came)):
            stock.receive(
                materials[delivery.material],
                delivery.mark,
                Decimal(delivery.quantity),
                came,
                expires_on,
                who=crew.bench,
            )
