"""The bench: the local page on which a pit is designed by moving it, and the shop floor's page on a phone."""

import os

# The equations here are small: a second thread of the linear algebra costs more than it gives, and where the machine is
# busy a hundred times more. It has to be said before numpy is first loaded.
for _name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_name, "1")
