"""`python -m tests.measure.judges FILE`: the worker at judging anew alone, over the shop in this file.

It does what `shop.daily` has it do all day, says before it begins and after each slice which job it has
come to, and at its end what it took. What it held of its own (RssAnon) is asked of the kernel after each
slice. The rest of its highest mark (VmHWM) are pages of the database's file, which the system lends while
nobody needs them.
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
    began, held = time.monotonic(), 0.0
    _say()
    more = True
    while more:
        more = judging_anew.look()
        held = max(held, _mb("RssAnon"))
        if more:
            _say()
    took = {"seconds": time.monotonic() - began, "processor_s": time.process_time()}
    print(json.dumps({"held_mb": held, "with_the_file_mb": _mb("VmHWM"), **took}))


def _mb(name: str) -> float:
    status = Path("/proc/self/status").read_text().splitlines()
    (kilobytes,) = (line.split()[1] for line in status if line.startswith(f"{name}:"))
    return int(kilobytes) / 1024


def _say() -> None:
    from shoprepair.jobs import judging_anew

    run = judging_anew.standing()
    print(json.dumps({"after": run.after if run else None}), flush=True)


if __name__ == "__main__":
    main(sys.argv[1])
