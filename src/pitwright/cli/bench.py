"""`pitwright bench`: the local page."""

from __future__ import annotations

import argparse
import contextlib
from pathlib import Path

from pitwright.errors import JobError


def bench_command(options: argparse.Namespace) -> int:
    """Serve the page until Ctrl-C. Returns the exit code."""
    if options.port is not None and not 0 <= options.port <= 65535:
        raise JobError("no such port", field="--port", value=options.port, allowed="0 to 65535 (0: any free one)")
    from pitwright.bench.serve import serve

    with contextlib.suppress(KeyboardInterrupt):
        serve(
            folder=Path(options.store) if options.store else None,
            port=options.port,
            browser=not options.no_browser,
            share=options.share,
            tell=lambda line: print(line, flush=True),
        )
    return 0
