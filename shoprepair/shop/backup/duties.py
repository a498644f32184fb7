"""What is done for the backups every day."""

import logging
from dataclasses import replace

from shoprepair.shop.backup import checking, sealing, standing, sweeping, writing
from shoprepair.shop.backup.checking import Checked
from shoprepair.shop.backup.layout import BackupTrouble
from shoprepair.shop.backup.sealing import Compared
from shoprepair.shop.backup.writing import Made
from shoprepair.shop.languages import gettext_lazy

FILES_TOLD = gettext_lazy(
    "Of the photos’ files looked at last night {many} are missing or no longer what they were, the first "
    "{first}. “manage.py restore --file NAME” puts one back from the backup, “manage.py restore --files” all."
)
logger = logging.getLogger("shoprepair.shop.backup")


def back_up() -> Made:
    """Back the shop up where its backups are kept, and note what came of it for the owner.

    Raises BackupTrouble.
    """
    try:
        made = writing.make(standing.folder())
    except BackupTrouble as trouble:
        standing.note(replace(standing.last_try(), failed=str(trouble), spoiled=0, missing=0))
        raise
    spoiled, missing = len(made.manifest.spoiled), len(made.manifest.missing)
    standing.note(replace(standing.last_try(), failed="", spoiled=spoiled, missing=missing))
    return made


def check_files() -> Checked:
    """Look at this night's share of the photos, and note what came of it for the owner. Raises OSError."""
    checked = checking.check()
    if wrong := [*checked.spoiled, *checked.missing]:
        told = FILES_TOLD.format(first=wrong[0], many=len(wrong))
        logger.error("%s", told)
        standing.note(replace(standing.last_try(), photos=told))
    elif standing.last_try().photos:
        # What was told is told until everything was looked at and found good.
        again = checking.check(every=1)
        if not again.spoiled and not again.missing:
            standing.note(replace(standing.last_try(), photos=""))
    return checked


def compare_journal() -> Compared:
    """Compare the journal with all backups, and note what came of it for the owner. Raises OSError."""
    compared = sealing.compare(standing.folder())
    wrong = " ".join(compared.wrong)
    standing.note(replace(standing.last_try(), journal=wrong))
    if wrong:
        logger.error("The journal is not as the backups have it. %s", wrong)
    return compared


def sweep() -> None:
    """Take away what no record names."""
    try:
        swept = sweeping.sweep()
    except sweeping.TooMany as trouble:
        logger.warning("%s", trouble)
        return
    if swept.gone or swept.missing:
        logger.warning("%d files without a record went; %d are missing", len(swept.gone), len(swept.missing))
