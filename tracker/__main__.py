"""`python -m tracker` is `sabinry`."""

import sys

from tracker.cli.main import main

sys.exit(main())
