"""How long do the papers take, and how much memory, each example in a process of its own?

Wanted: the booklet of the largest example under 6 s and 500 MB, of the sampler under 1.5 s. The
clock includes the start of the program. Other work on the machine makes all times longer; the
ratio to the piece's own pipeline, in the same process, stays about the same.
"""

import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

EXAMPLES = Path(__file__).parents[1] / "examples"
WANTED = {
    "01-first-sampler": {"s": 1.5},
    "02-tideline": {},
    "03-long-harvest": {"s": 6.0, "MB": 500.0},
}


def made(name, parts):
    """Seconds of each part and of the pipeline; runs in a process of its own."""
    from crossfell.draft.files import read_file
    from crossfell.papers.make import make_all
    from crossfell.piece import Piece

    def clocks():
        return time.perf_counter(), time.process_time()

    found, before = {}, clocks()
    piece = Piece(read_file(next((EXAMPLES / name).glob("*.toml"))))
    _ = piece.plan, piece.hung, piece.loom, piece.notes
    with tempfile.TemporaryDirectory() as folder:
        for part in ("pipeline", *parts):
            if part != "pipeline":
                before = clocks()
                files = make_all(piece, Path(folder), [part])
                found[f"{part}, MB"] = sum(path.stat().st_size for path, _ in files) / 1e6
            found[part] = [after - start for after, start in zip(clocks(), before, strict=True)]
    found["most"] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return found


def apart(name, parts):
    """The same, started from here: what it found, and the seconds from start to end."""
    start = time.perf_counter()
    told = subprocess.run(
        [sys.executable, __file__, name, *parts], check=True, stdout=subprocess.PIPE, text=True
    )
    return json.loads(told.stdout), time.perf_counter() - start


def compared(value, wanted, unit):
    return f"{value:.2f} {unit}" + (f" (wanted under {wanted:g} {unit})" if wanted else "")


def main():
    from crossfell.papers.make import USUAL

    print(f"load of the machine: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    toy = "--toy" in sys.argv  # small, to see that it runs
    for name, wanted in list(WANTED.items())[: 1 if toy else None]:
        found, whole = apart(name, ["booklet"])
        (_, base), (wall, cpu) = found["pipeline"], found["booklet"]
        print(
            f"{name}: the booklet {compared(whole, wanted.get('s'), 's')} from the start; "
            f"alone {wall:.2f} s, {cpu:.2f} s of processor = {cpu / base:.1f} x the pipeline; "
            f"{found['booklet, MB']:.1f} MB of file; "
            f"at most {compared(found['most'], wanted.get('MB'), 'MB')}"
        )
        if toy:
            return
        found, _ = apart(name, USUAL)
        base = found["pipeline"][1]
        for part in USUAL:
            wall, cpu = found[part]
            print(f"  {part:9} {wall:6.2f} s, {cpu:5.2f} s of processor = {cpu / base:5.1f} x the "
                  f"pipeline, {found[f'{part}, MB']:5.1f} MB")  # fmt: skip
        print(f"  everything in one process: at most {found['most']:.0f} MB")


if __name__ == "__main__":
    if sys.argv[1:] and sys.argv[1] != "--toy":
        print(json.dumps(made(sys.argv[1], sys.argv[2:])))
    else:
        main()
