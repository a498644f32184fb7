"""`python -m tests.measure.judges FILE`: the worker at judging anew alone, over the shop in this file.

It does what `shop.daily` has it do all day, says before it begins and after each slice which job it has come
to, and at its end how many findings a second, what it held at most (VmHWM) and its processor time.
"""

import json
import sys
import time
from pathlib import Path

from tests.measure import kept


def main(file: str) -> None:
    """Until nothing is left, or it is killed."""
    kept.begin()
    from shoprepair.jobs import judging_anew
    from tests.measure import shops

    shops.switch({"NAME": Path(file)})
    began = time.monotonic()
    _say()
    while judging_anew.look():
        _say()
    status = Path("/proc/self/status").read_text().splitlines()
    (most,) = (line.split()[1] for line in status if line.startswith("VmHWM:"))
    seconds = time.monotonic() - began
    print(json.dumps({"held_mb": int(most) / 1024, "seconds": seconds, "processor_s": time.process_time()}))


def _say() -> None:
    from shoprepair.jobs import judging_anew

    run = judging_anew.standing()
    print(json.dumps({"after": run.after if run else None}), flush=True)


if __name__ == "__main__":
    main(sys.argv[1])
