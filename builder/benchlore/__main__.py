"""``python -m benchlore`` is the same as the command ``benchlore``."""

from benchlore.cli import main

if __name__ == "__main__":
    main()
