"""The one kind of array that the pictures are computed with."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

# Real numbers: 32 bits where a whole picture is held, 64 where a short sum comes out so.
Floats = NDArray[np.floating[Any]]
