"""What goes wrong with a store of files, as the rest of the shop hears of it."""


class Away(OSError):
    """The store does not answer, answers too late, or not as it should; a file may be there all the same."""


class Spoiled(OSError):
    """What the store gives back is not what was given to it."""
