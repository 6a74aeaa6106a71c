"""A program that changes one job over and over and tells each change once it is acknowledged, until it is killed."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from pitwright.bench.store import Store


def main(folder: str, run: str) -> None:
    shop = Store.open(Path(folder))
    job = shop.jobs()[0].id
    head = shop.get(job).head
    os.write(1, b"ready\n")
    n = 0
    while True:
        n += 1
        rid = f"{run}.{n}"
        if n % 7 == 0:
            head = shop.undo(job, rid, head).head
        elif n % 11 == 0:
            shop.tick(job, f"step {run}", n % 2 == 1, rid, "killed")
        else:
            edits = [{"path": ["pieces", f"L{n % 5}"], "value": rid}]
            head = shop.edit(job, edits, base=head, rid=rid, label=rid, who="killed").head  # type: ignore[arg-type]
        os.write(1, f"{rid} {head}\n".encode())  # acknowledged: from here on it must never be lost


if __name__ == "__main__":
    for number in range(int(sys.argv[2]), int(sys.argv[3])):  # one fork a life: imports are paid for once
        reading = sys.stdin.readline()
        if not reading:
            break
        child = os.fork()
        if child == 0:
            try:
                main(sys.argv[1], str(number))
            finally:
                os._exit(1)
        os.write(1, f"pid {child}\n".encode())
        os.waitpid(child, 0)
        os.write(1, b"gone\n")
