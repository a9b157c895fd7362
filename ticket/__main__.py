"""``python -m ticket`` is the command too."""

import sys

from ticket.cli.main import main

sys.exit(main())
