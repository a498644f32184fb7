"""What is done for the backups every day."""

import logging

from shoprepair.shop.backup import standing, sweeping, writing
from shoprepair.shop.backup.layout import BackupTrouble
from shoprepair.shop.backup.standing import LastTry
from shoprepair.shop.backup.writing import Made

logger = logging.getLogger("shoprepair.shop.backup")


def back_up() -> Made:
    """Back the shop up where its backups are kept, and note what came of it for the owner.

    Raises BackupTrouble.
    """
    try:
        made = writing.make(standing.folder())
    except BackupTrouble as trouble:
        standing.note(LastTry(failed=str(trouble)))
        raise
    standing.note(LastTry(spoiled=len(made.manifest.spoiled), missing=len(made.manifest.missing)))
    return made


def sweep() -> None:
    """Take away what no record names."""
    try:
        swept = sweeping.sweep()
    except sweeping.TooMany as trouble:
        logger.warning("%s", trouble)
        return
    if swept.gone or swept.missing:
        logger.warning("%d files without a record went; %d are missing", len(swept.gone), len(swept.missing))
