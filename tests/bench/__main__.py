"""`python -m tests.bench NAME …`: measures one room and prints figures; nothing is asserted here."""

import importlib
import sys
from pathlib import Path

NAMES = sorted(path.stem for path in Path(__file__).parent.glob("*.py") if not path.stem.startswith("_"))

if len(sys.argv) < 2 or sys.argv[1] not in NAMES:
    sys.exit(f"usage: python -m tests.bench NAME ...   NAME: {', '.join(NAMES)}")
sys.exit(importlib.import_module(f"tests.bench.{sys.argv[1]}").main(sys.argv[2:]))
