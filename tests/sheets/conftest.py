"""The sample set as a fixture, and a picture of a printed page as an array."""

from __future__ import annotations

import importlib.util
import io
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from pitwright.sheets.page import Page
from pitwright.sheets.pdf import pdf, png

Picture = NDArray[np.bool_]
Render = Callable[[Page, int, float, float], Picture]


@pytest.fixture(scope="session")
def sample() -> ModuleType:
    """The module `sample.py` beside this file."""
    spec = importlib.util.spec_from_file_location("sheets_sample", Path(__file__).with_name("sample.py"))
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def printed() -> Render:
    """What a printer lays down between two heights of a page [mm]: True where there is ink.

    By an independent PDF reader where the machine has one, otherwise by the setting library itself.
    """

    def render(page: Page, dots_per_inch: int, top: float, bottom: float) -> Picture:
        first, last = (round(v / 25.4 * dots_per_inch) for v in (top, bottom))
        if shutil.which("pdftoppm"):
            crop = ["-x", "0", "-y", str(first), "-W", "100000", "-H", str(last - first)]
            run = subprocess.run(
                ["pdftoppm", "-r", str(dots_per_inch), *crop, "-png", "-singlefile", "-"],
                input=pdf((page,)),
                capture_output=True,
                check=True,
            )
            return _dark(run.stdout)
        return _dark(png((page,), dots_per_inch)[0])[first:last]

    return render


def _dark(data: bytes) -> Picture:
    picture: Picture = np.asarray(Image.open(io.BytesIO(data)).convert("L")) < 128
    return picture
