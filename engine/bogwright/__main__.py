"""``python -m bogwright``."""

import sys

from bogwright.cli import main

sys.exit(main())
