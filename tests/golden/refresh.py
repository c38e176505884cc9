"""Write the golden pages anew from tests/kb_small; read the difference before you commit it.

.venv/bin/python tests/golden/refresh.py
"""

from __future__ import annotations

import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
TESTS = HERE.parent
PAGES = (
    "closing/moor-60.html",
    "families/moor-60.html",
    "faults/filter-dried.html",
    "glossary.html",
    "procedures/making-safe.html",
    "symptoms/hum-steady-low.html",
)
"""One page of each kind that a template change would reach; calculators have tests of their own."""


def main() -> None:
    """Render the small shelf and keep the pages listed above."""
    sys.path[:0] = [str(TESTS), str(TESTS.parent / "builder")]
    from building import site_files, sound_library

    files = site_files(sound_library([TESTS / "kb_small"]))
    for page in PAGES:
        target = HERE / page
        target.parent.mkdir(exist_ok=True)
        target.write_bytes(files[page])


if __name__ == "__main__":
    main()
