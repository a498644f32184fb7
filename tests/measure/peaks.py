"""The most memory that decoding a photo takes, in a process as the shop decodes in, beside one decode as is.

`python -m tests.measure.peaks SIDE ours naive` reads a photo from its standard input and says in MB what the
shop's way took at most, and what opening, turning and shrinking it to SIDE took. Each is forked from a
process that has loaded the decoders and nothing else (`jobs.decoding.warm`), under the shop's own limits, and
the kernel says what it held at most: VmHWM, which a new process does not inherit as it does ru_maxrss.
"""

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from io import BytesIO
from pathlib import Path
from typing import Protocol

from PIL import Image, ImageOps

from shoprepair.jobs.decoding import warm
from shoprepair.jobs.decoding.shrinking import Bounds, shrunk
from tests.measure import kept
from tests.measure.said import Said

SHARE_AT_MOST = 0.9
MB = 1e6
TWELVE = (4032, 3024)


class Photo(Protocol):
    """Takes a photo of so many pixels."""

    def __call__(self, width: int, height: int, form: str = "JPEG") -> bytes: ...


def of_photos(photo: Photo, bounds: Bounds) -> Iterator[Said]:
    """Twelve megapixels beside a naive decode; and the largest photo that is taken, within its limit."""
    ours, naive = _held(photo(*TWELVE), bounds, "ours", "naive")
    note = f"{ours:.0f} MB, {naive:.0f} MB with one naive decode; three sizes of 12 million pixels"
    yield Said("photo: most memory, to one naive decode", ours / naive, SHARE_AT_MOST, note=note)
    height = int((bounds.most_pixels * 3 / 4) ** 0.5)
    (largest,) = _held(photo(height * 4 // 3, height, "WEBP"), bounds, "ours")
    note = f"a WebP of {bounds.most_pixels:,} pixels; the limit is RLIMIT_AS, of address space, which is more"
    yield Said("photo: most memory of the largest", largest, bounds.memory / MB, unit="MB", note=note)


def _held(content: bytes, bounds: Bounds, *ways: str) -> list[float]:
    command = [sys.executable, "-m", "tests.measure.peaks", str(bounds.sizes[0][0]), *ways]
    done = subprocess.run(command, cwd=kept.ROOT, input=content, stdout=subprocess.PIPE, check=True)
    return [float(figure) for figure in done.stdout.split()]


def main(side: int, *ways: str) -> None:
    """One way after the other, each in a process of its own."""
    content = sys.stdin.buffer.read()
    bounds = Bounds(50_000_000, 12_000, ((side, 80), (1000, 80), (400, 75)))
    warm._load()

    def naive() -> None:
        with Image.open(BytesIO(content)) as image:
            turned = ImageOps.exif_transpose(image).convert("RGB")
            turned.thumbnail((side, side), Image.Resampling.LANCZOS, reducing_gap=None)
            turned.save(BytesIO(), "JPEG", quality=85)

    acts = {"ours": lambda: shrunk(content, bounds), "naive": naive}
    print(*(_peak_mb(acts[way], bounds) for way in ways))


def _peak_mb(act: Callable[[], object], bounds: Bounds) -> float:
    reads, writes = os.pipe()
    if not os.fork():
        warm._bound(bounds)
        act()
        status = Path("/proc/self/status").read_text().splitlines()
        (most,) = (line.split()[1] for line in status if line.startswith("VmHWM:"))
        os.write(writes, most.encode())
        os._exit(0)
    os.wait()
    os.close(writes)
    with os.fdopen(reads) as told:
        return int(told.read()) * 1024 / MB


if __name__ == "__main__":
    main(int(sys.argv[1]), *sys.argv[2:])
