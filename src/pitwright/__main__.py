"""`python -m pitwright`."""

import sys

from pitwright.cli import main

sys.exit(main())
