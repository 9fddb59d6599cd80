"""The scripts that write pages can be imported by the tests that hold them."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2] / "scripts"))
