"""Pages to read in a browser or print: each one file, nothing fetched, no script needed."""
