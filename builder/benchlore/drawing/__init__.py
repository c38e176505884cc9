"""Pictures of what words carry badly: entries and outcomes of sums to SVG."""
