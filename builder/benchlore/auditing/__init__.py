"""Rules that an entry or the whole library must keep, one file each, listed by hand in running order."""
