"""Pages: layout and thin callbacks, one page a file."""
