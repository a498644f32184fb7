"""Words of addresses that stand for something."""

from shoprepair.shop.weeks import IsoWeek


class WeekConverter:
    """'2026-w05'. An address with a week that its year does not have leads nowhere."""

    regex = "[12][0-9]{3}-w[0-9]{2}"

    def to_python(self, value: str) -> IsoWeek:
        return IsoWeek.read(value)

    def to_url(self, value: IsoWeek | str) -> str:
        return str(value)
