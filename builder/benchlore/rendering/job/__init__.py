"""What the job sheet reads: the book and its families as classic scripts that hold nothing but data."""
