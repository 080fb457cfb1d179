"""A failure somebody reports: a file is opened, its columns confirmed, causes found, a drill made."""
