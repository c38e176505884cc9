"""``python3 builder`` sets up and builds the site; ``python3 builder test`` sets up and runs every test.

This file is kept in words that any Python reads, so that an old one can say what is wrong.
"""

import sys

if sys.version_info < (3, 11):
    sys.stderr.write(
        "Benchlore needs Python 3.11 or newer and this is %d.%d: run it with a newer one, such as python3.11 builder.\n"
        % sys.version_info[:2]
    )
    sys.exit(3)

import setting_up

sys.exit(setting_up.main(sys.argv[1:]))
