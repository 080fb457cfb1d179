"""The CSV reader, what each column is taken for, and the map file: from any logger to our columns."""
